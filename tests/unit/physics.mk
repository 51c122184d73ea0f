# Unit tests of src/physics: one line a program, e.g. unit_programs += tests/unit/test_physics_x
