// tree: Embree's scene of one mesh, built by one thread. rays: one ray from the middle of
// each triangle straight inward, one at a time. Both also with the flag for robust rays.
#include <embree3/rtcore.h>

#include <limits>
#include <unordered_map>

#include "peer.h"

using peer::Point;

// The start of a ray lies this far along it, so that it does not meet the triangle that
// it starts on: single precision leaves some 1e-5 mm of doubt at 100 mm.
constexpr float start = 1e-3f;

struct Hash {
  std::size_t operator()(const Point& p) const {
    std::uint32_t bits[3];
    std::memcpy(bits, p.data(), sizeof bits);
    return (bits[0] * 73856093ull) ^ (bits[1] * 19349663ull) ^ (bits[2] * 83492791ull);
  }
};

struct Indexed {
  std::vector<Point> points;
  std::vector<std::uint32_t> corners;
};

static Indexed weld(const std::vector<Point>& soup) {
  Indexed m;
  std::unordered_map<Point, std::uint32_t, Hash> seen;
  for (const Point& p : soup) {
    const auto [at, fresh] = seen.try_emplace(p, std::uint32_t(m.points.size()));
    if (fresh) m.points.push_back(p);
    m.corners.push_back(at->second);
  }
  m.points.push_back({});  // Embree reads 16 bytes a point
  return m;
}

static RTCScene build(RTCDevice device, const Indexed& m, RTCSceneFlags flags) {
  RTCScene scene = rtcNewScene(device);
  rtcSetSceneFlags(scene, flags);
  RTCGeometry g = rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE);
  rtcSetSharedGeometryBuffer(g, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, m.points.data(), 0, sizeof(Point), m.points.size() - 1);
  rtcSetSharedGeometryBuffer(g, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, m.corners.data(), 0, 12, m.corners.size() / 3);
  rtcCommitGeometry(g);
  rtcAttachGeometry(scene, g);
  rtcReleaseGeometry(g);
  rtcCommitScene(scene);
  return scene;
}

static RTCRayHit inward(const Indexed& m, std::size_t triangle) {
  const Point &p = m.points[m.corners[3 * triangle]], &q = m.points[m.corners[3 * triangle + 1]], &r = m.points[m.corners[3 * triangle + 2]];
  double u[3], v[3];
  RTCRayHit ray{};
  float* from[3] = {&ray.ray.org_x, &ray.ray.org_y, &ray.ray.org_z};
  for (int k = 0; k < 3; k++) {
    u[k] = double(q[k]) - p[k];
    v[k] = double(r[k]) - p[k];
    *from[k] = float((double(p[k]) + q[k] + r[k]) / 3);
  }
  const double n[3] = {u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]};
  const double length = std::sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
  ray.ray.dir_x = float(-n[0] / length);
  ray.ray.dir_y = float(-n[1] / length);
  ray.ray.dir_z = float(-n[2] / length);
  ray.ray.tnear = start;
  ray.ray.tfar = std::numeric_limits<float>::infinity();
  ray.ray.mask = ~0u;
  ray.hit.geomID = RTC_INVALID_GEOMETRY_ID;
  return ray;
}

static void run(RTCDevice device, const Indexed& m, const peer::Arguments& a, const std::string& who, RTCSceneFlags flags) {
  const std::size_t triangles = m.corners.size() / 3;
  RTCScene scene = nullptr;
  const auto clear = [&] {
    if (scene) rtcReleaseScene(scene);
    scene = nullptr;
  };
  peer::time_rounds("tree", who, a, clear, [&] { scene = build(device, m, flags); },
                    [&] { return peer::say("%zu triangles", triangles); });

  double sum = 0;
  std::size_t misses = 0;
  peer::time_rounds("rays", who, a, peer::nothing, [&] {
    sum = 0, misses = 0;
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    for (std::size_t i = 0; i < triangles; i++) {
      RTCRayHit ray = inward(m, i);
      rtcIntersect1(scene, &context, &ray);
      if (ray.hit.geomID == RTC_INVALID_GEOMETRY_ID) misses++;
      else sum += ray.ray.tfar;
    }
  }, [&] { return peer::say("mean %.4f mm, %zu misses", sum / std::max<std::size_t>(triangles - misses, 1), misses); });
  clear();
}

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  const Indexed m = weld(peer::read_soup(a.file));
  RTCDevice device = rtcNewDevice("threads=1");
  if (!device) peer::fail("Embree has no device here");
  const std::string who = "Embree " RTC_VERSION_STRING;
  run(device, m, a, who, RTC_SCENE_FLAG_NONE);
  run(device, m, a, who + ", robust", RTC_SCENE_FLAG_ROBUST);
  rtcReleaseDevice(device);
}
