/* sim/store/in_scale.c - which axis a dimension of a dataset lies along, as its dimension scales tell: the attribute
 * DIMENSION_LIST holds references to them for each dimension (HDF5 Dimension Scale Specification 1.0.4, section 4.1;
 * memory). HDF5's own H5DS functions read it into room for as many as there are dimensions, however many it has. */
#include "store/in_sets.h"

static bool is_same(hid_t file, hid_t object, const hobj_ref_t *reference)
{
    H5O_info_t one, other;
    const hid_t found = H5Rdereference2(file, H5P_DEFAULT, H5R_OBJECT, reference);
    const bool same = found >= 0 && H5Oget_info2(found, &one, H5O_INFO_BASIC) >= 0
                      && H5Oget_info2(object, &other, H5O_INFO_BASIC) >= 0 && one.fileno == other.fileno
                      && one.addr == other.addr;
    if (found >= 0)
        H5Oclose(found);
    return same;
}

/* Does an attribute hold a list of references for each of so many dimensions? */
static bool is_list(hid_t attribute, int rank)
{
    const hid_t type = H5Aget_type(attribute), space = H5Aget_space(attribute);
    const hid_t of = type >= 0 && H5Tget_class(type) == H5T_VLEN ? H5Tget_super(type) : -1;
    const bool good = of >= 0 && H5Tequal(of, H5T_STD_REF_OBJ) > 0 && space >= 0
                      && H5Sget_simple_extent_npoints(space) == rank;
    if (of >= 0)
        H5Tclose(of);
    if (space >= 0)
        H5Sclose(space);
    if (type >= 0)
        H5Tclose(type);
    return good;
}

/* @param none out: the dimension has no scale  @return is the axis one of its scales? */
static bool find_axis(const store_in *in, hid_t attribute, int rank, int i, const char *axis, bool *none)
{
    hvl_t list[STORE_IN_RANK] = {{0, NULL}};
    bool found = false;
    const hid_t type = H5Tvlen_create(H5T_STD_REF_OBJ), space = H5Aget_space(attribute);
    const hid_t wanted = H5Dopen2(in->file, axis, in->sets);
    *none = false;
    if (rank <= STORE_IN_RANK && wanted >= 0 && is_list(attribute, rank) && H5Aread(attribute, type, list) >= 0) {
        *none = list[i].len == 0;
        for (size_t k = 0; k < list[i].len && !found; k++)
            found = is_same(in->file, wanted, (const hobj_ref_t *)list[i].p + k);
        H5Dvlen_reclaim(type, space, H5P_DEFAULT, list);
    }
    if (wanted >= 0)
        H5Dclose(wanted);
    if (space >= 0)
        H5Sclose(space);
    H5Tclose(type);
    return found;
}

bool store_in_lies_along(store_in *in, const char *dataset, int rank, int i, const char *axis)
{
    if (!store_in_has_note(in, dataset, "DIMENSION_LIST"))
        return true;
    const hid_t set = H5Dopen2(in->file, dataset, in->sets);
    const hid_t attribute = set >= 0 ? H5Aopen(set, "DIMENSION_LIST", H5P_DEFAULT) : -1;
    bool none = false;
    const bool along = attribute >= 0 && (find_axis(in, attribute, rank, i, axis, &none) || none);
    if (attribute >= 0)
        H5Aclose(attribute);
    if (set >= 0)
        H5Dclose(set);
    return along;
}
