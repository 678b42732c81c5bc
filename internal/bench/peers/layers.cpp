// layers, in two parts: CGAL's slicer cuts a mesh at the heights that printlint cuts at,
// and polyclipping fills what was cut, grows each layer and takes it from the next one.
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_halfedge_graph_segment_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Polygon_mesh_processing/bbox.h>
#include <CGAL/Polygon_mesh_slicer.h>

#include <polyclipping/clipper.hpp>

#include "cgal.h"

namespace cl = ClipperLib;

constexpr double height = 0.2, grow = 0.1;  // mm
constexpr double middle = 0.5137;           // where in a layer it is cut, as printlint does
constexpr double unit = 1e6;                // of polyclipping's whole numbers in a mm

using Polyline = std::vector<peer::Point3>;
using Cut = std::vector<Polyline>;

static std::vector<Cut> cut(const peer::Mesh& mesh, double low, double high) {
  CGAL::Polygon_mesh_slicer<peer::Mesh, peer::Kernel> slicer(mesh);
  std::vector<Cut> cuts;
  for (int k = 0; (k + middle) * height <= high - low; k++) {
    cuts.emplace_back();
    slicer(peer::Kernel::Plane_3(0, 0, 1, -(low + (k + middle) * height)), std::back_inserter(cuts.back()));
  }
  return cuts;
}

static std::vector<cl::Paths> paths_of(const std::vector<Cut>& cuts) {
  std::vector<cl::Paths> layers;
  for (const Cut& c : cuts) {
    layers.emplace_back();
    for (const Polyline& line : c) {
      layers.back().emplace_back();
      for (const peer::Point3& p : line) layers.back().back().emplace_back(std::llround(p.x() * unit), std::llround(p.y() * unit));
    }
  }
  return layers;
}

static double area(const cl::Paths& paths) {
  double sum = 0;
  for (const cl::Path& p : paths) sum += cl::Area(p);
  return sum / unit / unit;
}

struct Compared {
  double filled = 0, beyond = 0;
};

static Compared compare(const std::vector<cl::Paths>& layers) {
  Compared sum;
  cl::Paths grown;
  for (const cl::Paths& outline : layers) {
    cl::Paths filled, beyond;
    cl::SimplifyPolygons(outline, filled, cl::pftEvenOdd);
    cl::Clipper difference;
    difference.AddPaths(filled, cl::ptSubject, true);
    difference.AddPaths(grown, cl::ptClip, true);
    difference.Execute(cl::ctDifference, beyond, cl::pftNonZero, cl::pftNonZero);
    sum.filled += area(filled) * height;
    sum.beyond += area(beyond);
    cl::ClipperOffset offset;
    offset.AddPaths(filled, cl::jtMiter, cl::etClosedPolygon);
    offset.Execute(grown, grow * unit);
  }
  return sum;
}

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  const peer::Mesh mesh = peer::read_mesh(a.file);
  const CGAL::Bbox_3 box = peer::PMP::bbox(mesh);
  std::vector<Cut> cuts;
  peer::time_rounds("layers", peer::cgal(", cut only"), a, [&] { cuts.clear(); },
                    [&] { cuts = cut(mesh, box.zmin(), box.zmax()); }, [&] {
    std::size_t segments = 0;
    for (const Cut& c : cuts)
      for (const Polyline& line : c) segments += line.size() - 1;
    return peer::say("%zu layers, %zu segments", cuts.size(), segments);
  });

  const std::vector<cl::Paths> outlines = paths_of(cuts);
  Compared sum;
  peer::time_rounds("layers", "polyclipping " CLIPPER_VERSION ", the rest", a, peer::nothing, [&] { sum = compare(outlines); }, [&] {
    return peer::say("%zu layers, %.0f mm3 filled, %.0f mm2 beyond the layer below", outlines.size(), sum.filled, sum.beyond);
  });
}
