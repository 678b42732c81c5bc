// weld: equal corners become one vertex. There are no edges in it.
#include <meshoptimizer.h>

#include "peer.h"

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  const std::vector<peer::Point> soup = peer::read_soup(a.file);
  std::size_t count = 0;
  const std::string version = peer::say("%d.%d", MESHOPTIMIZER_VERSION / 1000, MESHOPTIMIZER_VERSION % 1000 / 10);
  peer::time_rounds("weld", "meshoptimizer " + version + ", no edges", a, peer::nothing, [&] {
    std::vector<unsigned> remap(soup.size());
    count = meshopt_generateVertexRemap(remap.data(), nullptr, soup.size(), soup.data(), soup.size(), sizeof(peer::Point));
    std::vector<unsigned> corners(soup.size());
    std::vector<peer::Point> points(count);
    meshopt_remapIndexBuffer(corners.data(), nullptr, soup.size(), remap.data());
    meshopt_remapVertexBuffer(points.data(), soup.data(), soup.size(), sizeof(peer::Point), remap.data());
  }, [&] { return peer::say("%zu vertices", count); });
}
