// read: a file to triangles that share nothing, without any step afterwards.
#include <assimp/Importer.hpp>
#include <assimp/scene.h>
#include <assimp/version.h>

#include "peer.h"

int main(int argc, char** argv) {
  const peer::Arguments a = peer::arguments(argc, argv);
  std::size_t triangles = 0;
  const std::string version = peer::say("%u.%u.%u", aiGetVersionMajor(), aiGetVersionMinor(), aiGetVersionPatch());
  peer::time_rounds("read", "assimp " + version, a, peer::nothing, [&] {
    Assimp::Importer importer;
    const aiScene* scene = importer.ReadFile(a.file, 0);
    if (!scene || scene->mNumMeshes != 1) peer::fail(a.file + ": assimp cannot read it as one mesh");
    triangles = scene->mMeshes[0]->mNumFaces;
  }, [&] { return peer::say("%zu triangles", triangles); });
}
