"""What people and programs write: sheets, intakes, stored shapes. See sheet, intake, schema and plan_json."""
