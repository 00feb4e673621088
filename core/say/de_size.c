/* Sizing, in German. */
#include "say/catalogue.h"

static const say_row rows[] = {
    {"size.curve-with-power", "eine Kennlinie, aus der die Leistung der Pumpe hervorgeht"},
    {"size.cut-in-for-vessel", "ein Einschaltdruck für den Druckbehälter"},
    {"size.no-cut-in-sentence", "kein Satz, der bei einem Druck einschaltet"},
};

SAY_CATALOGUE(say_de_size)
