/* sim/scenario/leaf.c - leaf sides from a class, a leaf's name or numbers.
 *
 * A side is three numbers: contact angle (static, of water), receding angle and the limit K = We^(1/2) Re^(1/4) of
 * shattering. They come, the later over the earlier, from the class or the named leaf, from the surfactant, which makes
 * the leaf one class easier (wetter) or two (spreader), and from the numbers of the scenario.
 * No table of advancing and receding angles of orchard leaves was at hand; published are ranges of the static angle
 * (E. Papierowska et al., Trees 32 (2018) 1253: 60 to 140 degrees on 19 broad-leaved trees and shrubs), classes, and
 * the order of leaves. What is named here is a range, of which the middle is used; each says where it stands. */
#include "scenario/leaf.h"

#include <math.h>
#include <string.h>

#include "base/elementary.h"
#include "scenario/sections.h"

#define ANY {60, 140} /* of Papierowska et al. */

/* Angles and limits are choices inside published ranges; 57.7 and about 100 are what is measured at the two ends. */
static const struct { double contact_deg, receding_deg, shatter_limit; } classes[] = {
    [SCENARIO_EASY] = {75.0, 40.0, 120.0},
    [SCENARIO_MEDIUM] = {100.0, 70.0, 80.0},
    [SCENARIO_HARD] = {130.0, 110.0, 57.7},
    [SCENARIO_VERY_HARD] = {150.0, 140.0, 57.7}};
enum { LAST_CLASS = SCENARIO_VERY_HARD };

/* Classes of wetting named below: H. Wang, H. Shi, Y. Wang, The wetting of leaf surfaces, in Wetting and Wettability
 * (2015): below 90 degrees highly wettable, 90 to 110 wettable, above 110 non-wettable, above 130 highly so. */
/* Each leaf: {{young lower, young upper}, {old lower, old upper}}, as scenario_leaf_age has it. */
const scenario_leaf_preset scenario_leaf_presets[SCENARIO_LEAF_PRESETS] = {
    {"deciduous", {{ANY, ANY}, {ANY, ANY}}, "Papierowska and others 2018: 19 broad-leaved species, both sides"},
    {"apple", {{{125, 150}, {100, 130}}, {{120, 140}, {85, 115}}},
     "choice inside 60 to 140 degrees (Papierowska and others 2018); hairy below; young leaves harder to wet, as pear"},
    {"pear", {{{108, 120}, {108, 120}}, {{70, 80}, {70, 80}}},
     "Pest Manag. Sci. 74 (2018) 1804: early leaves wet like PTFE, later ones like PMMA; angles of both: memory"},
    {"cherry", {{{90, 120}, {90, 120}}, {{75, 105}, {70, 100}}},
     "choice inside 60 to 140 degrees (Papierowska and others 2018); smooth on both sides"},
    {"grape_smooth", {{{90, 110}, {70, 110}}, {{90, 110}, {70, 110}}},
     "Kortekamp and others 1999: smooth undersides hold water twice as firmly as hairy ones; angles: choice"},
    {"grape_hairy", {{{110, 150}, {70, 110}}, {{110, 150}, {70, 110}}},
     "Kortekamp and others 1999: hairy undersides let water go; non-wettable class of Wang and others 2015; choice"},
    {"citrus", {{{80, 110}, {75, 105}}, {{80, 110}, {75, 105}}},
     "choice inside 60 to 140 degrees; memory, low: 80 to 100"},
    {"olive", {{{105, 140}, {80, 110}}, {{105, 140}, {80, 110}}},
     "choice inside 60 to 140 degrees; scales below; memory, low: repellent underside"},
    {"mango", {{{85, 130}, {60, 105}}, {{85, 130}, {60, 105}}},
     "the upper side wets better than the lower (Shah and Bhattarai); angles: choice"},
    {"tea", {{{60, 90}, {60, 90}}, {ANY, ANY}}, "Pan and others 2023: young leaves can lie below 90 degrees; old: any"},
    {"cabbage", {{{130, 160}, {130, 160}}, {{130, 160}, {130, 160}}}, "wax bloom: highly non-wettable; range: memory"},
    {"maize", {{{110, 150}, {110, 150}}, {{110, 150}, {110, 150}}},
     "Dong, Zhu and Yang 2015: hydrophobic; non-wettable class of Wang and others 2015"},
    {"dracaena", {{{50, 90}, {50, 90}}, {{50, 90}, {50, 90}}},
     "Dong, Zhu and Yang 2015: hydrophilic; highly wettable class of Wang and others 2015"}};

const char *scenario_leaf_word(int i)
{
    if (i == 0)
        return "none";
    return i > 0 && i <= SCENARIO_LEAF_PRESETS ? scenario_leaf_presets[i - 1].name : NULL;
}

static double on_line(double x, double x_0, double x_1, double y_0, double y_1)
{
    return y_0 + (y_1 - y_0) * (x - x_0) / (x_1 - x_0);
}

static scenario_leaf_surface at_place(double place)
{
    const int i = (int)fmin(fmax(place, 0.0), LAST_CLASS - 1);
    const double at = fmin(fmax(place, 0.0), LAST_CLASS);
    return (scenario_leaf_surface){
        BASE_DEGREE * on_line(at, i, i + 1, classes[i].contact_deg, classes[i + 1].contact_deg),
        BASE_DEGREE * on_line(at, i, i + 1, classes[i].receding_deg, classes[i + 1].receding_deg),
        on_line(at, i, i + 1, classes[i].shatter_limit, classes[i + 1].shatter_limit)};
}

/* Place of an angle on the row of classes, 0 easy to 3 very hard. */
static double place_of(double contact_angle_rad)
{
    const double angle_deg = contact_angle_rad / BASE_DEGREE;
    int i = 0;
    while (i < LAST_CLASS - 1 && angle_deg > classes[i + 1].contact_deg)
        i++;
    return fmin(fmax(on_line(angle_deg, classes[i].contact_deg, classes[i + 1].contact_deg, i, i + 1), 0.0),
                LAST_CLASS);
}

scenario_leaf_surface scenario_leaf_of_class(scenario_wetting wetting)
{
    return (scenario_leaf_surface){BASE_DEGREE * classes[wetting].contact_deg,
                                   BASE_DEGREE * classes[wetting].receding_deg, classes[wetting].shatter_limit};
}

scenario_leaf_surface scenario_leaf_of_angle(double contact_angle_rad)
{
    scenario_leaf_surface s = at_place(place_of(contact_angle_rad));
    s.receding_angle_rad *= fmin(contact_angle_rad / s.contact_angle_rad, 1.0); /* below the easiest: in proportion */
    s.contact_angle_rad = contact_angle_rad;
    return s;
}

scenario_wetting scenario_leaf_nearest_class(double contact_angle_rad)
{
    int best = 0;
    for (int i = 1; i <= LAST_CLASS; i++)
        if (fabs(contact_angle_rad / BASE_DEGREE - classes[i].contact_deg)
            < fabs(contact_angle_rad / BASE_DEGREE - classes[best].contact_deg))
            best = i;
    return (scenario_wetting)best;
}

scenario_leaf_surface scenario_leaf_eased(const scenario_leaf_surface *surface, double n_classes)
{
    const double place = place_of(surface->contact_angle_rad);
    return n_classes > 0.0 && place > 0.0 ? at_place(place - n_classes) : *surface;
}

/* The surfactant stands in another section, which checks it; the leaf has to know it here. */
static double classes_eased(const scenario_node *root)
{
    const scenario_node *liquid = scenario_node_find(root, "liquid");
    const scenario_node *word =
        liquid && liquid->kind == SCENARIO_GROUP ? scenario_node_find(liquid, "surfactant") : NULL;
    if (!word || word->kind != SCENARIO_VALUE)
        return 0.0;
    int surfactant = SCENARIO_NO_SURFACTANT;
    if (!scenario_key_value(scenario_key_of("liquid.surfactant"), word->text, &surfactant))
        return 0.0;
    return surfactant == SCENARIO_WETTER ? 1.0 : surfactant == SCENARIO_SPREADER ? 2.0 : 0.0;
}

typedef struct { const char *side, *contact, *receding, *limit; } side_keys;

/* @param preset NULL: none */
static scenario_leaf_surface read_side(scenario_reader *r, const scenario_node *group, const side_keys *key,
                                       const scenario_leaf_preset *preset, scenario_leaf_age age, int upper,
                                       double eased, scenario_wetting *wetting)
{
    scenario_leaf_surface s;
    const bool by_name = preset && !scenario_given(r, group, key->side);
    if (by_name) {
        const double angle_deg =
            0.5 * (preset->angle[age][upper].low_deg + preset->angle[age][upper].high_deg);
        s = scenario_leaf_of_angle(BASE_DEGREE * angle_deg);
        *wetting = scenario_leaf_nearest_class(s.contact_angle_rad);
        scenario_note(r, group, key->side, "nearest to the leaf", "%s",
                      scenario_word_of("canopy.upper_side", (int)*wetting));
    } else {
        *wetting = (scenario_wetting)scenario_take_word(r, group, key->side);
        s = scenario_leaf_of_class(*wetting);
    }
    s = scenario_leaf_eased(&s, eased);
    const char *mark = eased > 0.0 ? "with the surfactant" : by_name ? "of the leaf" : "of the class";
    const bool given = scenario_given(r, group, key->contact);
    const double angle_rad = scenario_take_or(r, group, key->contact, s.contact_angle_rad, mark);
    if (given && scenario_good(r))
        s = scenario_leaf_of_angle(angle_rad); /* the other two follow it */
    if (given)
        mark = "of the contact angle";
    s.receding_angle_rad = scenario_take_or(r, group, key->receding, s.receding_angle_rad, mark);
    if (scenario_good(r) && s.receding_angle_rad > s.contact_angle_rad)
        scenario_refuse(r, group, key->receding, "at most the contact angle, %.6g deg",
                        s.contact_angle_rad / BASE_DEGREE);
    s.shatter_limit = scenario_take_or(r, group, key->limit, s.shatter_limit, mark);
    return s;
}

void scenario_read_leaf(scenario_reader *r, const scenario_node *root, const scenario_node *group, scenario_canopy *c)
{
    static const side_keys upper = {"upper_side", "upper_contact_angle", "upper_receding_angle", "upper_shatter_limit"};
    static const side_keys lower = {"lower_side", "lower_contact_angle", "lower_receding_angle", "lower_shatter_limit"};
    const int leaf = scenario_take_word(r, group, "leaf");
    const scenario_leaf_age age = (scenario_leaf_age)scenario_take_word(r, group, "leaf_age");
    const scenario_leaf_preset *preset = leaf > 0 ? &scenario_leaf_presets[leaf - 1] : NULL;
    const double eased = classes_eased(root);
    if (!scenario_good(r))
        return;
    c->leaf_surface[1] = read_side(r, group, &upper, preset, age, 1, eased, &c->upper_side);
    c->leaf_surface[0] = read_side(r, group, &lower, preset, age, 0, eased, &c->lower_side);
}
