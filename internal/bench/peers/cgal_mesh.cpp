// load: CGAL's reader of STL, which makes equal points one, and its way to a mesh with
// edges. weld: the same from triangles in memory.
#include <CGAL/IO/STL.h>
#include <CGAL/boost/graph/helpers.h>

#include "cgal.h"

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  peer::Mesh mesh;
  const auto answer = [&] { return peer::counts(mesh); };
  peer::time_rounds("load", peer::cgal(), a, peer::nothing, [&] {
    peer::PolygonSoup s;
    if (!CGAL::IO::read_STL(a.file, s.points, s.polygons)) peer::fail(a.file + ": CGAL cannot read it");
    mesh = peer::mesh_of(s);
  }, answer);

  const peer::PolygonSoup whole = peer::unshared(peer::read_soup(a.file));
  peer::PolygonSoup s;
  peer::time_rounds("weld", peer::cgal(), a, [&] { s = whole; }, [&] {
    peer::PMP::merge_duplicate_points_in_polygon_soup(s.points, s.polygons);
    mesh = peer::mesh_of(s);
  }, answer);
}
