// What every peer needs: the triangles of a binary STL, and rounds by the clock that are
// reported as printlint's own are.
#pragma once

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <string>
#include <vector>

namespace peer {

using Point = std::array<float, 3>;

[[noreturn]] inline void fail(const std::string& why) {
  std::fprintf(stderr, "%s\n", why.c_str());
  std::exit(2);
}

// read_soup returns three corners a triangle, nothing shared.
inline std::vector<Point> read_soup(const std::string& path) {
  constexpr std::size_t header = 84, triangle = 50, corners = 12;
  std::FILE* file = std::fopen(path.c_str(), "rb");
  if (!file) fail(path + ": cannot be opened");
  std::vector<unsigned char> bytes(std::filesystem::file_size(path));
  const bool whole = std::fread(bytes.data(), 1, bytes.size(), file) == bytes.size();
  std::fclose(file);
  std::uint32_t count = 0;
  if (whole && bytes.size() >= header) std::memcpy(&count, &bytes[80], sizeof count);
  if (!whole || bytes.size() != header + triangle * count || count == 0) fail(path + ": not a whole binary STL");
  std::vector<Point> soup(3 * std::size_t(count));
  for (std::size_t i = 0; i < count; i++) std::memcpy(&soup[3 * i], &bytes[header + triangle * i + corners], 36);
  return soup;
}

struct Arguments {
  std::string file;
  int rounds;
};

inline Arguments arguments(int argc, char** argv) {
  const int rounds = argc == 3 ? std::atoi(argv[2]) : 0;
  if (rounds < 1) fail(std::string("usage: ") + argv[0] + " FILE ROUNDS");
  return {argv[1], rounds};
}

// say puts a result into words, as printf does.
template <class... T>
std::string say(const char* format, T... values) {
  std::array<char, 256> text;
  std::snprintf(text.data(), text.size(), format, values...);
  return text.data();
}

// time_rounds calls prepare, which is not timed, and work, once unseen and then some
// rounds by the clock; answer, again untimed, says what came out. The line has kernel,
// mesh, who, the median, least and most of the times in ms, and the result.
template <class Prepare, class Work, class Answer>
void time_rounds(const char* kernel, const std::string& who, const Arguments& a, Prepare prepare, Work work, Answer answer) {
  std::vector<double> times;
  std::string result;
  for (int i = 0; i <= a.rounds; i++) {
    prepare();
    const auto start = std::chrono::steady_clock::now();
    work();
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    const std::string said = answer();
    if (i == 0) {
      result = said;
      continue;
    }
    if (said != result) fail(who + ": a round came to \"" + said + "\", those before to \"" + result + "\"");
    times.push_back(took.count());
  }
  std::sort(times.begin(), times.end());
  const std::size_t n = times.size();
  std::printf("%s\t%s\t%s\t%.3f\t%.3f\t%.3f\t%s\n", kernel, std::filesystem::path(a.file).stem().c_str(), who.c_str(),
              (times[(n - 1) / 2] + times[n / 2]) / 2, times.front(), times.back(), result.c_str());
  std::fflush(stdout);
}

inline void nothing() {}

}  // namespace peer
