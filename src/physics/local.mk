# Formulas and constants of the trade: pure functions, no input or output.
lib_physics_sources = \
	src/physics/constants.h \
	src/physics/value.h \
	src/physics/root.c src/physics/root.h \
	src/physics/ethanol_water.c src/physics/ethanol_water.h \
	src/physics/ew_internal.h \
	src/physics/ew_freezing.c \
	src/physics/ew_strength.c \
	src/physics/ew_mix.c \
	src/physics/vapour.c src/physics/vapour.h \
	src/physics/flash.c src/physics/flash.h \
	src/physics/flash_mixture.c \
	src/physics/fireclass.c src/physics/fireclass.h \
	src/physics/fireclass_rows.c \
	src/physics/evaporation.c src/physics/evaporation.h \
	src/physics/room_air.c src/physics/room_air.h \
	src/physics/exposure.c src/physics/exposure.h
