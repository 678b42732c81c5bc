// tree: the AABB tree over the faces of a mesh. rays: one ray from the middle of each
// face straight inward, which passes over the face that it starts on.
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>

#include <memory>

#include "cgal.h"

using Primitive = CGAL::AABB_face_graph_triangle_primitive<peer::Mesh>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<peer::Kernel, Primitive>>;
using Face = peer::Mesh::Face_index;

struct Found {
  double sum = 0;
  std::size_t hits = 0, misses = 0;
};

static Found shoot(const peer::Mesh& mesh, const Tree& tree) {
  Found found;
  for (const Face face : mesh.faces()) {
    const auto h = mesh.halfedge(face);
    const auto &p = mesh.point(mesh.source(h)), &q = mesh.point(mesh.target(h)), &r = mesh.point(mesh.target(mesh.next(h)));
    const auto from = CGAL::centroid(p, q, r);
    const auto inward = -CGAL::normal(p, q, r);
    const auto hit = tree.first_intersection(peer::Kernel::Ray_3(from, inward), [&](Face f) { return f == face; });
    // A ray along a face meets it in a segment, and then no distance is taken.
    const peer::Point3* at = hit ? boost::get<peer::Point3>(&hit->first) : nullptr;
    if (at) {
      found.sum += std::sqrt(CGAL::squared_distance(from, *at));
      found.hits++;
    } else {
      found.misses++;
    }
  }
  return found;
}

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  const peer::Mesh mesh = peer::read_mesh(a.file);
  std::unique_ptr<Tree> tree;
  peer::time_rounds("tree", peer::cgal(), a, [&] { tree.reset(); }, [&] {
    const auto [first, end] = faces(mesh);
    tree = std::make_unique<Tree>(first, end, mesh);
    tree->build();
  }, [&] { return peer::say("%zu triangles", std::size_t(tree->size())); });

  Found found;
  peer::time_rounds("rays", peer::cgal(), a, peer::nothing, [&] { found = shoot(mesh, *tree); }, [&] {
    return peer::say("mean %.4f mm, %zu misses", found.sum / std::max<std::size_t>(found.hits, 1), found.misses);
  });
}
