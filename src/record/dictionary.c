/* dictionary.c - the record dictionary: every element and attribute, in the order they are written.
 *
 * A table and nothing else: the code that reads it is in dict_util.c. */
#include "text/base.h"

#include "record/dictionary.h"

#include "record/dict_site.h"
#include "record/dict_paper.h"
#include "record/dict_lot.h"
#include "record/dict_trade.h"

#define ATTRS(array) array, LW_COUNT(array)

static const struct dict_element elements[] = {
    {"records", NULL, "The outermost element of a record file.", ATTRS(records_attrs)},
    {"premises", "records", "The building or part of one that holds the workroom.",
     ATTRS(premises_attrs)},
    {"person", "records", "Somebody who works, checks or is to be called.", ATTRS(person_attrs)},
    {"party", "records", "A supplier, buyer, carrier, insurer, landlord or authority.",
     ATTRS(party_attrs)},
    {"instrument", "records", "A scale, thermometer, hydrometer or other measuring instrument.",
     ATTRS(instrument_attrs)},
    {"place", "records",
     "A room, cabinet, freezer, shelf, yard or other place, inside the premises or another place.",
     ATTRS(place_attrs)},
    {"ignition", "records", "A source of ignition in a place.", ATTRS(ignition_attrs)},
    {"inspection", "records", "One item of the self-inspection list, looked at on a day.",
     ATTRS(inspection_attrs)},
    {"material", "records", "Adds to or corrects the shipped catalogue of materials.",
     ATTRS(material_attrs)},
    {"document", "records",
     "A permit, certificate, invoice, declaration, data sheet, licence or letter.",
     ATTRS(document_attrs)},
    {"receipt", "records", "A received lot of a material, a solvent or packaging.",
     ATTRS(receipt_attrs)},
    {"batch", "records", "One lot: a maceration, from plan to release.", ATTRS(batch_attrs)},
    {"charge", "batch", "Something put into the batch.", ATTRS(charge_attrs)},
    {"step", "batch", "Something done to the batch.", ATTRS(step_attrs)},
    {"reading", "batch", "A measurement of the batch.", ATTRS(reading_attrs)},
    {"yield", "batch", "What came out of the batch.", ATTRS(yield_attrs)},
    {"check", "batch", "A review, deviation, release or second look at the batch.",
     ATTRS(check_attrs)},
    {"component", "batch", "A substance in the finished liquid, with its share and hazard classes.",
     ATTRS(component_attrs)},
    {"move", "records", "A vessel, lot or received lot taken from one place to another.",
     ATTRS(move_attrs)},
    {"count", "records", "A stock-take of one lot in one place.", ATTRS(count_attrs)},
    {"label", "records", "A label as printed.", ATTRS(label_attrs)},
    {"sale", "records", "One sale or consignment.", ATTRS(sale_attrs)},
    {"line", "sale", "One line of a sale.", ATTRS(line_attrs)},
    {"waste", "records", "Waste set aside or removed: marc, filters, rags, spent solvent.",
     ATTRS(waste_attrs)},
    {"incident", "records", "A spill, fire, exposure, complaint, power failure or warm freezer.",
     ATTRS(incident_attrs)},
    {"log", "records", "One reading of a place's temperature log.", ATTRS(log_attrs)},
    {"formula", "records", "A written formula the lots follow.", ATTRS(formula_attrs)},
    {"part", "formula", "One thing the formula calls for.", ATTRS(part_attrs)},
    {"waiver", "records", "An answer to a finding, with a reason and an end.", ATTRS(waiver_attrs)},
    {"local-code", "records", "A local value that takes the place of a named limit.",
     ATTRS(local_code_attrs)},
};

const struct dict_element *dict_elements(size_t *count)
{
    *count = LW_COUNT(elements);
    return elements;
}
