"""What a resolved spec is: hands, contacts, stations, faults, requirements."""
