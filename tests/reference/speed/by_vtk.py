"""VTK. vtkClipClosedSurface keeps one side: both sides are two calls. Its section is loose segments, not loops."""

import numpy as np
import vtk
from vtk.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray, vtk_to_numpy


def prepare(vertices: np.ndarray, triangles: np.ndarray) -> vtk.vtkPolyData:
    points = vtk.vtkPoints()
    points.SetData(numpy_to_vtk(vertices, deep=True))
    corners = triangles.astype(np.int64).ravel()
    cells = vtk.vtkCellArray()
    cells.SetData(
        numpy_to_vtkIdTypeArray(np.arange(0, len(corners) + 1, 3, dtype=np.int64), deep=True),
        numpy_to_vtkIdTypeArray(corners, deep=True),
    )
    solid = vtk.vtkPolyData()
    solid.SetPoints(points)
    solid.SetPolys(cells)
    return solid


def read(path: str) -> vtk.vtkPolyData:
    reader = {"stl": vtk.vtkSTLReader, "obj": vtk.vtkOBJReader, "ply": vtk.vtkPLYReader}[path.rsplit(".")[-1]]()
    reader.SetFileName(path)
    if path.endswith("stl"):
        reader.MergingOn()
    return output(reader)


def prepare_loose(corners: np.ndarray) -> vtk.vtkPolyData:
    return prepare(corners, np.arange(len(corners), dtype=np.uint32).reshape(-1, 3))


def merge(loose: vtk.vtkPolyData) -> vtk.vtkPolyData:
    cleaner = vtk.vtkStaticCleanPolyData()
    cleaner.ToleranceIsAbsoluteOn()
    cleaner.SetAbsoluteTolerance(0.0)
    cleaner.SetInputData(loose)
    return output(cleaner)


def vertices(solid: vtk.vtkPolyData) -> int:
    return solid.GetNumberOfPoints()


def edges(solid: vtk.vtkPolyData) -> int:
    """Open ones and those with more than two faces."""
    finder = vtk.vtkFeatureEdges()
    finder.BoundaryEdgesOn()
    finder.NonManifoldEdgesOn()
    finder.FeatureEdgesOff()
    finder.ManifoldEdgesOff()
    finder.ColoringOff()
    finder.SetInputData(solid)
    return output(finder).GetNumberOfLines()


def crossings(one: vtk.vtkPolyData, other: vtk.vtkPolyData) -> int:
    """Pairs of faces, one of each, that meet. It does not look whether a shell crosses itself."""
    finder = vtk.vtkCollisionDetectionFilter()
    for i, shell in enumerate([one, other]):
        finder.SetInputData(i, shell)
        finder.SetTransform(i, vtk.vtkTransform())
    finder.SetCollisionModeToAllContacts()
    finder.SetBoxTolerance(0.0)
    finder.SetCellTolerance(0.0)
    finder.Update()
    return finder.GetNumberOfContacts()


def turn(solid: vtk.vtkPolyData) -> vtk.vtkPolyData:
    turner = vtk.vtkOrientPolyData()
    turner.ConsistencyOn()
    turner.AutoOrientNormalsOn()
    turner.SetInputData(solid)
    return output(turner)


def fill(solid: vtk.vtkPolyData) -> vtk.vtkPolyData:
    filler = vtk.vtkFillHolesFilter()
    filler.SetHoleSize(solid.GetLength())
    filler.SetInputData(solid)
    return output(filler)


def cut(solid: vtk.vtkPolyData, normal: np.ndarray, offset: float) -> tuple:
    return clip(solid, -normal, -offset), clip(solid, normal, offset)


def clip(solid: vtk.vtkPolyData, normal: np.ndarray, offset: float) -> vtk.vtkPolyData:
    planes = vtk.vtkPlaneCollection()
    planes.AddItem(plane(normal, offset))
    clipper = vtk.vtkClipClosedSurface()
    clipper.SetInputData(solid)
    clipper.SetClippingPlanes(planes)
    return output(clipper)


def section(solid: vtk.vtkPolyData, normal: np.ndarray, offset: float) -> vtk.vtkPolyData:
    cutter = vtk.vtkPlaneCutter()
    cutter.SetInputData(solid)
    cutter.SetPlane(plane(normal, offset))
    return output(cutter)


def length(section: vtk.vtkPolyData) -> float:
    ends = vtk_to_numpy(section.GetLines().GetConnectivityArray()).reshape(-1, 2)
    points = vtk_to_numpy(section.GetPoints().GetData()).astype(np.float64)
    return float(np.linalg.norm(points[ends[:, 1]] - points[ends[:, 0]], axis=1).sum())


def shells(solid: vtk.vtkPolyData) -> list:
    """It numbers the shells; taking them apart is left to NumPy and counted."""
    numbering = vtk.vtkPolyDataConnectivityFilter()
    numbering.SetInputData(solid)
    numbering.SetExtractionModeToAllRegions()
    numbering.ColorRegionsOn()
    numbered = output(numbering)
    vertices, triangles = arrays(numbered)
    shell = vtk_to_numpy(numbered.GetPointData().GetArray("RegionId"))[triangles[:, 0]]
    return [part(vertices, triangles[shell == i]) for i in range(numbering.GetNumberOfExtractedRegions())]


def part(vertices: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    number = np.zeros(len(vertices), dtype=np.int64)
    number[triangles] = 1
    used = np.flatnonzero(number)
    number[used] = np.arange(len(used))
    return vertices[used], number[triangles]


def arrays(solid) -> tuple[np.ndarray, np.ndarray]:
    if isinstance(solid, tuple):
        return solid
    triangulation = vtk.vtkTriangleFilter()
    triangulation.PassLinesOff()
    triangulation.PassVertsOff()
    triangulation.SetInputData(solid)
    triangles = output(triangulation)
    corners = vtk_to_numpy(triangles.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    return vtk_to_numpy(triangles.GetPoints().GetData()), corners


def plane(normal: np.ndarray, offset: float) -> vtk.vtkPlane:
    made = vtk.vtkPlane()
    made.SetOrigin(*(normal * offset))
    made.SetNormal(*normal)
    return made


def output(filter) -> vtk.vtkPolyData:
    filter.Update()
    return filter.GetOutput()
