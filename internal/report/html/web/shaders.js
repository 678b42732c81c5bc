// The drawing of a shape: flat shading from over the viewer's left shoulder, and the
// hatchings of the levels, fixed to the screen, as in the pictures.

export const surface = {
  vertex: `
    attribute vec3 position, normal;
    attribute float level;
    uniform mat4 turn, view;
    varying vec3 facing;
    varying float kind;
    void main() {
      facing = (turn * vec4(normal, 0.0)).xyz;
      kind = level;
      gl_Position = view * vec4(position, 1.0);
    }`,
  fragment: `
    precision mediump float;
    varying vec3 facing;
    varying float kind;
    uniform vec3 fills[3], strokes[3], bright, dark;
    uniform float grain;
    bool hatched(float k) {
      vec2 p = gl_FragCoord.xy / grain;
      if (k < 1.5) return mod(p.x - p.y, 6.0) < 2.0;
      if (k > 2.5) return mod(p.y, 6.0) < 2.0;
      float row = floor(p.y / 3.0);
      return length(vec2(mod(p.x + mod(row, 2.0) * 3.0, 6.0) - 3.0, mod(p.y, 3.0) - 1.5)) < 1.15;
    }
    void main() {
      vec3 n = normalize(facing);
      if (n.z < 0.0) n = -n;
      float lit = max(0.0, dot(n, vec3(-2.0, 3.0, 6.0) / 7.0));
      vec3 colour = mix(dark, bright, lit);
      if (kind > 0.5) {
        int k = int(kind + 0.5);
        vec3 fill = k == 1 ? fills[0] : k == 2 ? fills[1] : fills[2];
        vec3 stroke = k == 1 ? strokes[0] : k == 2 ? strokes[1] : strokes[2];
        colour = hatched(kind) ? stroke : mix(fill * 0.7, mix(fill, vec3(1.0), 0.4), lit);
      }
      gl_FragColor = vec4(colour, 1.0);
    }`,
};

export const edges = {
  vertex: `
    attribute vec3 position;
    uniform mat4 view;
    void main() {
      gl_Position = view * vec4(position, 1.0);
      gl_Position.z -= 0.0015;
    }`,
  fragment: `
    precision mediump float;
    uniform vec4 ink;
    void main() { gl_FragColor = ink; }`,
};
