"""Values of the domain as sentences for a technician, in the units asked for."""
