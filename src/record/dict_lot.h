/* dict_lot.h - dictionary tables: batches, what is done to them, and formulas.
 *
 * Included by dictionary.c alone. */
#ifndef LW_RECORD_DICT_LOT_H
#define LW_RECORD_DICT_LOT_H

#include "record/dictionary.h"

static const struct dict_attr batch_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Lot number."},
    {"product", ATTR_TEXT, DIM_NONE, NULL, 0, "What it is."},
    {"product-kind", ATTR_CHOICE, DIM_NONE,
     "cosmetic material consumer-chemical food medicine workroom", 0,
     "What the finished lot is sold as."},
    {"state", ATTR_CHOICE, DIM_NONE, "planned steeping strained bottled released void", 0,
     "How far it has come."},
    {"formula", ATTR_TOKEN, DIM_NONE, NULL, 0, "Written formula it follows."},
    {"ratio", ATTR_RATIO, DIM_NONE, NULL, 0, "Ratio of material to liquid planned, e.g. 1:40."},
    {"ratio-basis", ATTR_CHOICE, DIM_NONE, "mass mass-volume", 0,
     "Whether the ratio is by mass, or mass to volume."},
    {"strength", ATTR_QTY, DIM_STRENGTH, NULL, 0, "Strength claimed for the liquid."},
    {"start", ATTR_DATE, DIM_NONE, NULL, 0, "Day the solvent was added."},
    {"days", ATTR_QTY, DIM_TIME, NULL, 0, "Length of the maceration as planned."},
    {"stated-days", ATTR_QTY, DIM_TIME, NULL, 0,
     "Length of the maceration as written on the card."},
    {"strained", ATTR_DATE, DIM_NONE, NULL, 0, "Day it was strained."},
    {"bottled", ATTR_DATE, DIM_NONE, NULL, 0, "Day it was bottled."},
    {"released", ATTR_DATE, DIM_NONE, NULL, 0, "Day it was released for sale."},
    {"released-by", ATTR_REF, DIM_NONE, "person", 0, "Who released it."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Where the vessels stand."},
    {"vessel", ATTR_TOKEN, DIM_NONE, NULL, 0, "Mark on the vessel."},
    {"vessel-size", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Brim capacity of one vessel."},
    {"vessel-count", ATTR_QTY, DIM_COUNT, NULL, 0, "How many vessels."},
    {"vessel-material", ATTR_CHOICE, DIM_NONE, "glass plastic metal safety-can drum other", 0,
     "What the vessels are made of."},
    {"closure", ATTR_CHOICE, DIM_NONE, "sealed screw-cap covered open unknown", 0,
     "How the vessels are closed."},
    {"fill-temperature", ATTR_QTY, DIM_TEMPERATURE, NULL, 0, "Temperature at filling."},
    {"fill", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Liquid in one vessel at filling."},
    {"volume", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Total liquid as written."},
    {"vessel-label", ATTR_TEXT, DIM_NONE, NULL, 0, "What is written on the vessel."},
    {"grinding-aid", ATTR_TEXT, DIM_NONE, NULL, 0, "Grinding or filter aid used."},
    {"parent", ATTR_REFS, DIM_NONE, "batch", 0, "Lots whose marc or liquid it was made from."},
    {"hold-time", ATTR_QTY, DIM_TIME, NULL, 0, "Longest time the bulk may wait."},
    {"best-before", ATTR_DATE, DIM_NONE, NULL, 0, "Date after which it should not be sold."},
    {"test-amount", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID,
     "Liquid that one set of all its tests takes."},
    {"size-exception", ATTR_TEXT, DIM_NONE, NULL, 0,
     "Written reason for a vessel above the usual size, e.g. purity."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who made it."},
    {"checker", ATTR_REF, DIM_NONE, "person", 0, "Who checked it."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
    {"composition", ATTR_CHOICE, DIM_NONE, "complete partial unknown", 0,
     "Whether the components listed are all that have a hazard class or are allergens."},
    {"entered", ATTR_DATE, DIM_NONE, NULL, 0, "Day the card was written or typed, if later."},
    {"entered-why", ATTR_TEXT, DIM_NONE, NULL, 0, "Why it was entered late."},
};

static const struct dict_attr charge_attrs[] = {
    {"receipt", ATTR_REF, DIM_NONE, "receipt", 0, "Received lot it was taken from."},
    {"from-batch", ATTR_REF, DIM_NONE, "batch", 0, "Earlier lot it was taken from."},
    {"material", ATTR_REF, DIM_NONE, "material", ATTR_CATALOGUE,
     "Material, when there is no receipt."},
    {"purpose", ATTR_CHOICE, DIM_NONE, "extracted solvent grinding-aid filter-aid additive", 0,
     "What it is for."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Amount put in."},
    {"strength", ATTR_QTY, DIM_STRENGTH, NULL, 0,
     "Strength of a solvent, when it is not the receipt's."},
    {"water", ATTR_PERCENT, DIM_NONE, NULL, 0, "Water by mass, when it is not the receipt's."},
    {"temperature", ATTR_QTY, DIM_TEMPERATURE, NULL, 0, "Temperature when measured."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who did it."},
    {"checker", ATTR_REF, DIM_NONE, "person", 0, "Who checked it."},
    {"instrument", ATTR_REF, DIM_NONE, "instrument", 0, "What it was measured with."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr step_attrs[] = {
    {"kind", ATTR_CHOICE, DIM_NONE,
     "weigh grind blend pour charge macerate shake warm chill strain filter press evaporate bottle "
     "label clean dispose open sample other",
     0, "What was done."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day, with the time where it matters."},
    {"until", ATTR_DATE, DIM_NONE, NULL, 0, "Last day of a step that goes on."},
    {"duration", ATTR_QTY, DIM_TIME, NULL, 0, "How long it took."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Where."},
    {"quantity", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Liquid handled."},
    {"open-area", ATTR_QTY, DIM_AREA, NULL, 0, "Liquid surface open to the air."},
    {"temperature", ATTR_QTY, DIM_TEMPERATURE, NULL, 0,
     "Temperature of the liquid or the appliance."},
    {"lid", ATTR_CHOICE, DIM_NONE, "sealed screw-cap covered open unknown", 0,
     "How the vessel was closed."},
    {"from-material", ATTR_CHOICE, DIM_NONE, "glass plastic metal safety-can drum other", 0,
     "Vessel poured from."},
    {"to-material", ATTR_CHOICE, DIM_NONE, "glass plastic metal safety-can drum other", 0,
     "Vessel poured into."},
    {"bonded", ATTR_CHOICE, DIM_NONE, "yes no not-needed unknown", 0,
     "Whether conducting vessels were bonded and earthed."},
    {"ventilation-on", ATTR_FLAG, DIM_NONE, NULL, 0,
     "Whether the extract was on or a window open."},
    {"air-speed", ATTR_QTY, DIM_SPEED, NULL, 0, "Air speed over the surface."},
    {"warm-up", ATTR_QTY, DIM_TIME, NULL, 0, "Wait between taking out of the cold and opening."},
    {"equipment", ATTR_TOKEN, DIM_NONE, NULL, 0, "Equipment used."},
    {"vacuum-exhaust", ATTR_CHOICE, DIM_NONE, "outside room unknown", 0,
     "Where a vacuum pump delivers to."},
    {"alone", ATTR_FLAG, DIM_NONE, NULL, 0, "Whether nobody else was in the building."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who did it."},
    {"checker", ATTR_REF, DIM_NONE, "person", 0, "Who checked it."},
    {"instrument", ATTR_REF, DIM_NONE, "instrument", 0, "Instrument read."},
    {"text", ATTR_TEXT, DIM_NONE, NULL, 0, "In the maker's words."},
};

static const struct dict_attr reading_attrs[] = {
    {"kind", ATTR_CHOICE, DIM_NONE, "density strength temperature mass volume net-mass net-volume",
     0, "What was measured; net-mass, net-volume: the content of one filled bottle."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day."},
    {"density", ATTR_QTY, DIM_DENSITY, NULL, 0, "Density read."},
    {"strength", ATTR_QTY, DIM_STRENGTH, NULL, 0, "Strength read."},
    {"temperature", ATTR_QTY, DIM_TEMPERATURE, NULL, 0,
     "Temperature of the liquid at the reading."},
    {"mass", ATTR_QTY, DIM_MASS, NULL, 0, "Mass read."},
    {"volume", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Volume read."},
    {"instrument", ATTR_REF, DIM_NONE, "instrument", 0, "Instrument."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who read it."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr yield_attrs[] = {
    {"stage", ATTR_CHOICE, DIM_NONE, "strained filtered bottled sample remainder marc", 0,
     "What it is."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Amount."},
    {"bottles", ATTR_QTY, DIM_COUNT, NULL, 0, "Number of bottles."},
    {"bottle-size", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Size of a bottle."},
    {"container-material", ATTR_CHOICE, DIM_NONE, "glass plastic metal other", 0,
     "What the bottle or vessel is made of."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Where it was put."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who did it."},
    {"checker", ATTR_REF, DIM_NONE, "person", 0, "Who checked it."},
    {"discarded", ATTR_DATE, DIM_NONE, NULL, 0, "Day a sample kept back was thrown away."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr check_attrs[] = {
    {"kind", ATTR_CHOICE, DIM_NONE,
     "release deviation self-check second-check spec cleaning label-specimen correction", 0,
     "Kind of check."},
    {"opened", ATTR_DATE, DIM_NONE, NULL, 0, "Day it was opened or made."},
    {"closed", ATTR_DATE, DIM_NONE, NULL, 0, "Day it was closed."},
    {"result", ATTR_CHOICE, DIM_NONE, "pass fail open not-done", 0, "Result."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who."},
    {"text", ATTR_TEXT, DIM_NONE, NULL, 0, "In words."},
};

static const struct dict_attr component_attrs[] = {
    {"name", ATTR_TEXT, DIM_NONE, NULL, 0, "Name of the substance."},
    {"cas", ATTR_TOKEN, DIM_NONE, NULL, 0, "CAS number."},
    {"share", ATTR_PERCENT, DIM_NONE, NULL, 0, "Share of the finished liquid by mass."},
    {"classes", ATTR_TEXT, DIM_NONE, NULL, 0,
     "Hazard classes of the substance, as in the catalogue, separated by spaces."},
    {"m-factor", ATTR_QTY, DIM_COUNT, NULL, 0, "Multiplying factor for the aquatic classes."},
    {"source", ATTR_TEXT, DIM_NONE, NULL, 0, "Where the share and the classes were read."},
    {"oral-ate", ATTR_QTY, DIM_COUNT, NULL, 0,
     "Acute toxicity estimate by mouth, mg for each kg of body weight."},
};

static const struct dict_attr formula_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"product", ATTR_TEXT, DIM_NONE, NULL, 0, "What it makes."},
    {"ratio", ATTR_RATIO, DIM_NONE, NULL, 0, "Ratio of material to liquid."},
    {"ratio-basis", ATTR_CHOICE, DIM_NONE, "mass mass-volume", 0, "Basis of the ratio."},
    {"strength", ATTR_QTY, DIM_STRENGTH, NULL, 0, "Strength of the solvent."},
    {"days", ATTR_QTY, DIM_TIME, NULL, 0, "Length of the maceration."},
    {"test-amount", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID,
     "Liquid that one set of all tests of the finished lot takes."},
    {"from", ATTR_DATE, DIM_NONE, NULL, 0, "First day."},
    {"until", ATTR_DATE, DIM_NONE, NULL, 0, "Last day."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr part_attrs[] = {
    {"material", ATTR_REF, DIM_NONE, "material", ATTR_CATALOGUE, "Material."},
    {"purpose", ATTR_CHOICE, DIM_NONE, "extracted solvent grinding-aid filter-aid additive", 0,
     "What it is for."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Amount for the formula's nominal batch."},
};

#endif
