// How the CGAL programs come to a mesh.
#pragma once

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/orient_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/repair_polygon_soup.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/version.h>

#include "peer.h"

namespace peer {

namespace PMP = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point3 = Kernel::Point_3;
using Mesh = CGAL::Surface_mesh<Point3>;

inline std::string cgal(const std::string& note = "") { return "CGAL " CGAL_VERSION_STR + note; }

struct PolygonSoup {
  std::vector<Point3> points;
  std::vector<std::array<std::size_t, 3>> polygons;
};

// unshared gives every triangle three points of its own.
inline PolygonSoup unshared(const std::vector<Point>& soup) {
  PolygonSoup s;
  s.points.reserve(soup.size());
  s.polygons.reserve(soup.size() / 3);
  for (const Point& p : soup) s.points.emplace_back(p[0], p[1], p[2]);
  for (std::size_t i = 0; i < soup.size(); i += 3) s.polygons.push_back({i, i + 1, i + 2});
  return s;
}

// mesh_of makes a mesh of a soup whose equal points are one.
inline Mesh mesh_of(PolygonSoup& s) {
  PMP::orient_polygon_soup(s.points, s.polygons);
  Mesh mesh;
  PMP::polygon_soup_to_polygon_mesh(s.points, s.polygons, mesh);
  return mesh;
}

inline Mesh read_mesh(const std::string& path) {
  PolygonSoup s = unshared(read_soup(path));
  PMP::merge_duplicate_points_in_polygon_soup(s.points, s.polygons);
  return mesh_of(s);
}

inline std::string counts(const Mesh& mesh) {
  return say("%u vertices, %u edges, %s", unsigned(mesh.number_of_vertices()), unsigned(mesh.number_of_edges()),
             CGAL::is_closed(mesh) ? "closed" : "open");
}

}  // namespace peer
