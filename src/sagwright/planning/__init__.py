"""From an intake to a plan: model, checks, matching, changes, kit, order. Pure; no clock."""
