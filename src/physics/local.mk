# Sources of physics/, included by the top Makefile.am.
lib_physics_sources = \
	src/physics/constants.h \
	src/physics/value.h \
	src/physics/ethanol_water.h \
	src/physics/vapour.h \
	src/physics/flash.h \
	src/physics/fireclass.h \
	src/physics/evaporation.h \
	src/physics/room_air.h \
	src/physics/exposure.h
