// crossings: the pairs of faces that intersect, from a mesh to the list.
#include <CGAL/Polygon_mesh_processing/self_intersections.h>

#include <utility>

#include "cgal.h"

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  const peer::Mesh mesh = peer::read_mesh(a.file);
  std::vector<std::pair<peer::Mesh::Face_index, peer::Mesh::Face_index>> pairs;
  peer::time_rounds("crossings", peer::cgal(), a, [&] { pairs.clear(); },
                    [&] { peer::PMP::self_intersections<CGAL::Sequential_tag>(mesh, std::back_inserter(pairs)); },
                    [&] { return peer::say("%zu pairs", pairs.size()); });
}
