# Unit tests of src/physics: one line a program, e.g. unit_programs += tests/unit/test_physics_x
unit_programs += tests/unit/test_physics_ethanol_water
unit_programs += tests/unit/test_physics_vapour
unit_programs += tests/unit/test_physics_flash
unit_programs += tests/unit/test_physics_fireclass
unit_programs += tests/unit/test_physics_air
