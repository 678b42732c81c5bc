# shellcheck shell=bash
# What build.sh and run.sh share.
set -euo pipefail

fail() {
  printf '%s\n' "$*" >&2
  exit 2
}

# outside FOLDER makes the folder, prints its full path, and fails where that lies in the
# repository: nothing that is built or measured belongs there.
outside() {
  local root parent=$1
  root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../../.." && pwd -P)
  while ! [ -d "$parent" ]; do parent=$(dirname -- "$parent"); done
  case $(cd -- "$parent" && pwd -P)/ in
    "$root"/*) fail "$1 lies in the repository: name a folder elsewhere" ;;
  esac
  mkdir -p -- "$1"
  (cd -- "$1" && pwd -P)
}

# peers lists the programs: name, headers that tell whether the libraries are there, Debian's
# packages, and what to link with.
peers() {
  cat <<'END'
assimp assimp/Importer.hpp libassimp-dev -lassimp
meshoptimizer meshoptimizer.h libmeshoptimizer-dev -lmeshoptimizer
embree embree3/rtcore.h libembree-dev -lembree3
cgal_mesh CGAL/version.h libcgal-dev -lgmp -lmpfr
cgal_rays CGAL/version.h libcgal-dev -lgmp -lmpfr
cgal_crossings CGAL/version.h libcgal-dev -lgmp -lmpfr
layers CGAL/version.h,polyclipping/clipper.hpp libcgal-dev,libpolyclipping-dev -lpolyclipping -lgmp -lmpfr
END
}

# pairings lists what is timed side by side: our kernels with a comma between them, the
# peers' programs likewise, and the meshes. CGAL is spared the mesh in random order, which
# takes it more than ten times as long as the same in order.
pairings() {
  cat <<'END'
read assimp ball-1311k,ball-1311k-shuffled
weld,load meshoptimizer,cgal_mesh ball-1311k
weld,load meshoptimizer ball-1311k-shuffled
tree,rays embree,cgal_rays sheet-485k,ball-1311k
crossings,crossings-2 cgal_crossings pair-164k,sheet-485k,ball-1311k
layers layers sheet-485k,ball-328k
END
}
