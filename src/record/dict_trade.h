/* dict_trade.h - dictionary tables: stock movements, labels, sales, waste, incidents, waivers and
 * local limits.
 *
 * Included by dictionary.c alone. */
#ifndef LW_RECORD_DICT_TRADE_H
#define LW_RECORD_DICT_TRADE_H

#include "record/dictionary.h"

static const struct dict_attr move_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day."},
    {"batch", ATTR_REF, DIM_NONE, "batch", 0, "Lot moved."},
    {"receipt", ATTR_REF, DIM_NONE, "receipt", 0, "Received lot moved."},
    {"from", ATTR_REF, DIM_NONE, "place", 0, "From."},
    {"to", ATTR_REF, DIM_NONE, "place", 0, "To."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Amount; empty: all of it."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr count_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Where."},
    {"batch", ATTR_REF, DIM_NONE, "batch", 0, "Lot counted."},
    {"receipt", ATTR_REF, DIM_NONE, "receipt", 0, "Received lot counted."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, ATTR_LIQUID, "Amount found."},
    {"bottles", ATTR_QTY, DIM_COUNT, NULL, 0, "Bottles found."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr label_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"batch", ATTR_REF, DIM_NONE, "batch", 0, "Lot it is for."},
    {"market", ATTR_TEXT, DIM_NONE, NULL, 0,
     "Markets it is sold into: country codes or EU, separated by spaces."},
    {"regime", ATTR_TOKEN, DIM_NONE, NULL, 0, "Label regime it is made for, as in the catalogue."},
    {"product-name", ATTR_TEXT, DIM_NONE, NULL, 0, "Name printed."},
    {"capacity", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Capacity of the container."},
    {"net-quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Net quantity printed in metric units."},
    {"net-quantity-us", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Net quantity printed in US units."},
    {"strength", ATTR_QTY, DIM_STRENGTH, NULL, 0, "Strength printed."},
    {"lot", ATTR_TEXT, DIM_NONE, NULL, 0, "Lot number printed."},
    {"signal-word", ATTR_CHOICE, DIM_NONE, "danger warning none", 0, "Signal word printed."},
    {"pictograms", ATTR_TEXT, DIM_NONE, NULL, 0, "Pictogram codes printed, separated by spaces."},
    {"statements", ATTR_TEXT, DIM_NONE, NULL, 0, "Statement codes printed, separated by spaces."},
    {"statement-text", ATTR_TEXT, DIM_NONE, NULL, 0, "Statements as printed."},
    {"ingredients", ATTR_TEXT, DIM_NONE, NULL, 0, "Ingredient list as printed."},
    {"allergens", ATTR_TEXT, DIM_NONE, NULL, 0, "Allergens named, separated by semicolons."},
    {"warning", ATTR_TEXT, DIM_NONE, NULL, 0, "Other warning words printed."},
    {"party-name", ATTR_TEXT, DIM_NONE, NULL, 0, "Responsible party printed."},
    {"party-address", ATTR_TEXT, DIM_NONE, NULL, 0, "Its address printed."},
    {"party-phone", ATTR_TEXT, DIM_NONE, NULL, 0, "Its telephone printed."},
    {"origin-text", ATTR_TEXT, DIM_NONE, NULL, 0, "Origin printed."},
    {"best-before", ATTR_DATE, DIM_NONE, NULL, 0, "Date mark printed."},
    {"period-after-opening", ATTR_TEXT, DIM_NONE, NULL, 0, "Period after opening printed."},
    {"use", ATTR_TEXT, DIM_NONE, NULL, 0, "Directions printed."},
    {"claims", ATTR_TEXT, DIM_NONE, NULL, 0, "Claims and listing text."},
    {"ufi", ATTR_TOKEN, DIM_NONE, NULL, 0, "Unique formula identifier printed."},
    {"gtin", ATTR_TOKEN, DIM_NONE, NULL, 0, "Bar code number printed."},
    {"cas", ATTR_TOKEN, DIM_NONE, NULL, 0, "CAS number printed."},
    {"languages", ATTR_TEXT, DIM_NONE, NULL, 0, "Language codes, separated by spaces."},
    {"tactile-warning", ATTR_FLAG, DIM_NONE, NULL, 0, "Tactile warning on the bottle."},
    {"child-resistant", ATTR_FLAG, DIM_NONE, NULL, 0, "Child-resistant closure."},
    {"panel-width", ATTR_QTY, DIM_LENGTH, NULL, 0, "Width of the main panel."},
    {"panel-height", ATTR_QTY, DIM_LENGTH, NULL, 0, "Height of the main panel."},
    {"letter-height", ATTR_QTY, DIM_LENGTH, NULL, 0, "Height of the net quantity letters."},
    {"text-height", ATTR_QTY, DIM_LENGTH, NULL, 0, "x-height of the smallest text."},
    {"pictogram-side", ATTR_QTY, DIM_LENGTH, NULL, 0, "Side of the pictogram."},
    {"revision", ATTR_TOKEN, DIM_NONE, NULL, 0, "Revision of the label."},
    {"revision-from", ATTR_DATE, DIM_NONE, NULL, 0, "First day of the revision."},
    {"revision-until", ATTR_DATE, DIM_NONE, NULL, 0, "Last day of the revision."},
    {"issued", ATTR_QTY, DIM_COUNT, NULL, 0, "Labels issued."},
    {"used", ATTR_QTY, DIM_COUNT, NULL, 0, "Labels used."},
    {"spoiled", ATTR_QTY, DIM_COUNT, NULL, 0, "Labels spoiled."},
    {"returned", ATTR_QTY, DIM_COUNT, NULL, 0, "Labels returned to stock."},
    {"printed", ATTR_DATE, DIM_NONE, NULL, 0, "Day of printing or issue."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr sale_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Invoice or order number."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day of sale."},
    {"shipped", ATTR_DATE, DIM_NONE, NULL, 0, "Day it leaves; empty: the day of sale."},
    {"buyer", ATTR_REF, DIM_NONE, "party", 0, "Buyer."},
    {"from", ATTR_COUNTRY, DIM_NONE, NULL, 0,
     "Country it leaves from; empty: that of the premises."},
    {"to", ATTR_COUNTRY, DIM_NONE, NULL, 0, "Country of destination."},
    {"mode", ATTR_CHOICE, DIM_NONE, "hand road post air sea post-air unknown", 0,
     "How it travels."},
    {"carrier", ATTR_REF, DIM_NONE, "party", 0, "Carrier."},
    {"documents", ATTR_REFS, DIM_NONE, "document", 0, "Papers that go with it."},
    {"parcels", ATTR_QTY, DIM_COUNT, NULL, 0, "Number of parcels."},
    {"inner-sealed", ATTR_FLAG, DIM_NONE, NULL, 0,
     "Each bottle in a sealed secondary bag or wrap."},
    {"absorbent", ATTR_FLAG, DIM_NONE, NULL, 0, "Absorbent round the bottles."},
    {"orientation", ATTR_FLAG, DIM_NONE, NULL, 0, "Orientation arrows on the parcel."},
    {"hazard-mark", ATTR_TEXT, DIM_NONE, NULL, 0, "Marks on the parcel."},
    {"hs-code", ATTR_TOKEN, DIM_NONE, NULL, 0, "Customs heading."},
    {"licence-copy", ATTR_REF, DIM_NONE, "document", 0,
     "Copy of the business licence for trade in wildlife."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

static const struct dict_attr line_attrs[] = {
    {"batch", ATTR_REF, DIM_NONE, "batch", 0, "Lot sold."},
    {"receipt", ATTR_REF, DIM_NONE, "receipt", 0, "Received lot sold on as it is."},
    {"label", ATTR_REF, DIM_NONE, "label", 0, "Label on it."},
    {"bottles", ATTR_QTY, DIM_COUNT, NULL, 0, "Bottles."},
    {"bottle-size", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Size of a bottle."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Amount, when it is not bottles."},
    {"description", ATTR_TEXT, DIM_NONE, NULL, 0, "Words on the invoice."},
    {"listing", ATTR_TEXT, DIM_NONE, NULL, 0, "Words of the listing."},
    {"hs-code", ATTR_TOKEN, DIM_NONE, NULL, 0, "Customs heading of the line."},
};

static const struct dict_attr waste_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day it arose."},
    {"batch", ATTR_REF, DIM_NONE, "batch", 0, "Lot it came from."},
    {"kind", ATTR_CHOICE, DIM_NONE, "marc filter rags solvent washings spill other", 0,
     "Kind of waste."},
    {"quantity", ATTR_QTY, DIM_AMOUNT, NULL, 0, "Amount."},
    {"liquid", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Ethanol-water liquid held in it."},
    {"strength", ATTR_QTY, DIM_STRENGTH, NULL, 0, "Strength of that liquid."},
    {"container", ATTR_CHOICE, DIM_NONE, "covered-metal metal plastic glass paper none unknown", 0,
     "What it is kept in."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Where it is kept."},
    {"removed", ATTR_DATE, DIM_NONE, NULL, 0, "Day it left the premises."},
    {"route", ATTR_CHOICE, DIM_NONE,
     "licensed-collector hazardous-collection drain compost household evaporated burned reused "
     "unknown",
     0, "Where it went."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
    {"receipt", ATTR_REF, DIM_NONE, "receipt", 0,
     "Received lot it was part of, when it was never worked."},
};

static const struct dict_attr incident_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day."},
    {"kind", ATTR_CHOICE, DIM_NONE,
     "spill fire exposure complaint power-failure freezer-warm breakage other", 0, "Kind."},
    {"batch", ATTR_REF, DIM_NONE, "batch", 0, "Lot."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Where."},
    {"quantity", ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID, "Liquid lost."},
    {"temperature", ATTR_QTY, DIM_TEMPERATURE, NULL, 0, "Temperature reached."},
    {"cleaned-with", ATTR_TEXT, DIM_NONE, NULL, 0, "What it was cleaned up with."},
    {"waste", ATTR_REF, DIM_NONE, "waste", 0, "Waste that came of it."},
    {"switches", ATTR_TEXT, DIM_NONE, NULL, 0, "What was done about switches and flames."},
    {"reviewed", ATTR_DATE, DIM_NONE, NULL, 0, "Day it was reviewed."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who."},
    {"text", ATTR_TEXT, DIM_NONE, NULL, 0, "In words."},
};

static const struct dict_attr log_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "Day, with the time."},
    {"place", ATTR_REF, DIM_NONE, "place", 0, "Which place."},
    {"temperature", ATTR_QTY, DIM_TEMPERATURE, NULL, 0, "Temperature."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who."},
};

static const struct dict_attr waiver_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"rule", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Rule it answers."},
    {"subject", ATTR_TOKEN, DIM_NONE, NULL, 0,
     "Record it answers for; empty: every subject of the rule."},
    {"reason", ATTR_TEXT, DIM_NONE, NULL, 0, "Why."},
    {"by", ATTR_REF, DIM_NONE, "person", 0, "Who answers for it."},
    {"from", ATTR_DATE, DIM_NONE, NULL, 0, "First day."},
    {"until", ATTR_DATE, DIM_NONE, NULL, 0, "Last day."},
};

static const struct dict_attr local_code_attrs[] = {
    {"id", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Short name."},
    {"limit", ATTR_TOKEN, DIM_NONE, NULL, ATTR_REQUIRED, "Limit it replaces."},
    {"code-set", ATTR_TOKEN, DIM_NONE, NULL, 0, "Code set it replaces it in; empty: all in force."},
    {"class", ATTR_TOKEN, DIM_NONE, NULL, 0, "Class it is for."},
    {"container", ATTR_TOKEN, DIM_NONE, NULL, 0, "Container it is for."},
    {"occupancy", ATTR_TOKEN, DIM_NONE, NULL, 0, "Occupancy it is for."},
    {"situation", ATTR_TOKEN, DIM_NONE, NULL, 0, "Situation it is for."},
    {"storey", ATTR_TOKEN, DIM_NONE, NULL, 0, "Storey it is for."},
    {"sprinklers", ATTR_TOKEN, DIM_NONE, NULL, 0, "With or without sprinklers."},
    {"cabinet", ATTR_TOKEN, DIM_NONE, NULL, 0, "With or without cabinet."},
    {"value", ATTR_TEXT, DIM_NONE, NULL, 0, "The value with its unit."},
    {"authority", ATTR_TEXT, DIM_NONE, NULL, 0, "Who set it."},
    {"date", ATTR_DATE, DIM_NONE, NULL, 0, "When."},
    {"citation", ATTR_TEXT, DIM_NONE, NULL, 0, "Where it is written."},
    {"until", ATTR_DATE, DIM_NONE, NULL, 0, "Last day it is in force."},
    {"note", ATTR_TEXT, DIM_NONE, NULL, 0, "Free note."},
};

#endif
