"""The rules of the 3MF core specification 1.4.0 that a file must keep, checked with nothing of ours."""

import re
import zipfile
from collections import Counter

from lxml import etree

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
RELATION = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"
TYPES = "{http://schemas.openxmlformats.org/package/2006/content-types}"
MODEL_RELATION = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
MODEL_TYPE = "application/vnd.ms-package.3dmanufacturing-3dmodel+xml"
RELATIONS_TYPE = "application/vnd.openxmlformats-package.relationships+xml"
NUMBER = re.compile(r"[-+]?(\d+(\.\d+)?|\.\d+)([eE][-+]?\d+)?\Z")  # ST_Number
UNITS = {"micron", "millimeter", "centimeter", "inch", "foot", "meter"}
KINDS = {"model", "solidsupport", "support", "surface", "other"}


def faults(path: str) -> list[str]:
    """What the file does that the specification forbids; empty for a valid file. Only core files are understood."""
    found: list[str] = []
    with zipfile.ZipFile(path) as package:
        if package.testzip() is not None:
            found.append("a part is damaged")
        names = package.namelist()
        defaults = {
            node.get("Extension").lower(): node.get("ContentType")
            for node in etree.fromstring(package.read("[Content_Types].xml")).iter(TYPES + "Default")
        }
        if defaults.get("rels") != RELATIONS_TYPE or defaults.get("model") != MODEL_TYPE:
            found.append(f"content types are {defaults}")
        relations = etree.fromstring(package.read("_rels/.rels"))
        starts = [node.get("Target") for node in relations.iter(RELATION) if node.get("Type") == MODEL_RELATION]
        if len(starts) != 1 or starts[0].lstrip("/") not in names:
            return [*found, f"the model is {starts}"]
        model = etree.fromstring(package.read(starts[0].lstrip("/")))
    if model.tag != CORE + "model" or model.get("unit", "millimeter") not in UNITS:
        return [*found, f"the root is {model.tag} in {model.get('unit')}"]
    order = [node.tag for node in model if isinstance(node.tag, str)]
    rank = {CORE + "metadata": 0, CORE + "resources": 1, CORE + "build": 2}
    ranks = [rank.get(tag, -1) for tag in order]
    if ranks != sorted(ranks) or ranks.count(1) != 1 or ranks.count(2) != 1:
        found.append(f"elements are in the order {order}")
    found += resources(model.find(CORE + "resources"))
    objects = {node.get("id"): node for node in model.find(CORE + "resources").iter(CORE + "object")}
    for item in model.find(CORE + "build"):
        if item.get("objectid") not in objects:
            found.append(f"the build names {item.get('objectid')}")
        elif objects[item.get("objectid")].get("type") == "other":
            found.append("the build names an object of type other")
    return found


def resources(node) -> list[str]:
    found: list[str] = []
    ids: set[str] = set()
    materials: dict[str, int] = {}
    for resource in node:
        id = resource.get("id")
        if not (id.isdigit() and 0 < int(id) < 2**31) or id in ids:
            found.append(f"the id {id} is no id, or taken")
        ids.add(id)
        if resource.tag == CORE + "basematerials":
            materials[id] = len(resource)
            for base in resource:
                if not base.get("name") or not re.match(r"#[0-9A-Fa-f]{6}([0-9A-Fa-f]{2})?\Z", base.get("displaycolor")):
                    found.append("a material has no name or no colour")
        if resource.tag != CORE + "object":
            continue
        if resource.get("type", "model") not in KINDS:
            found.append(f"object {id} is of type {resource.get('type')}")
        if resource.get("pid") and int(resource.get("pindex", -1)) not in range(materials.get(resource.get("pid"), 0)):
            found.append(f"object {id} names a material that is not there")
        mesh = resource.find(CORE + "mesh")
        if mesh is not None:
            found += [f"object {id}: {fault}" for fault in mesh_faults(mesh, resource.get("type", "model"))]
    return found


def mesh_faults(mesh, kind: str) -> list[str]:
    found: list[str] = []
    if [part.tag for part in mesh][:2] != [CORE + "vertices", CORE + "triangles"]:
        return ["a mesh is vertices, then triangles"]
    vertices = [tuple(node.get(axis) for axis in "xyz") for node in mesh[0]]
    if not all(NUMBER.match(x) for vertex in vertices for x in vertex):
        found.append("a coordinate is no ST_Number")
    triangles = [tuple(int(node.get(v)) for v in ("v1", "v2", "v3")) for node in mesh[1]]
    if any(len(set(t)) < 3 for t in triangles):
        found.append("a triangle names a vertex twice")
    if any(i not in range(len(vertices)) for t in triangles for i in t):
        found.append("a triangle names a vertex that is not there")
    if kind in ("model", "solidsupport"):
        if len(triangles) < 4:
            found.append("fewer than four triangles")
        edges = Counter((t[i], t[(i + 1) % 3]) for t in triangles for i in range(3))
        if any(count != 1 or edges[b, a] != 1 for (a, b), count in list(edges.items())):
            found.append("an edge has not two triangles, turned alike")
    return found
