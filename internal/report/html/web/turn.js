// The view that turns: one canvas for the whole page, moved to the model that is asked
// for, since browsers hold few of them.
import {createProgramInfo, createBufferInfoFromArrays, setBuffersAndAttributes, setUniforms, drawBufferInfo, resizeCanvasToDisplaySize, m4} from 'twgl.js';
import {shape} from './data.js';
import {surface, edges} from './shaders.js';
import {surfaceOf, edgesOf, extent} from './view.js';

const start = {yaw: -0.6435, pitch: 0.49, zoom: 1};
const step = Math.PI / 12;
const rgb = (hex) => [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16) / 255);
const colours = {
  fills: ['#7d0f45', '#b97700', '#4d8db5'].flatMap(rgb),
  strokes: ['#3a0620', '#5e3a00', '#12405f'].flatMap(rgb),
  bright: rgb('#e9e3d6'), dark: rgb('#8b8478'),
};

let stage; // the one canvas with its programs
let now; // what it shows

/** Makes the buttons that open the view. */
export function turning() {
  const buttons = document.querySelectorAll('button[data-turn]');
  for (const button of buttons) {
    button.hidden = false;
    button.addEventListener('click', () => (now?.button === button ? close() : open(button)));
  }
}

function open(button) {
  if (now) close();
  const box = document.getElementById('turn-' + button.dataset.turn);
  const model = shape(button.dataset.turn);
  stage ??= makeStage();
  if (!stage || !model) {
    box.textContent = 'This browser cannot draw in three dimensions here. The pictures show the same.';
    box.hidden = false;
    return;
  }
  const s = surfaceOf(model);
  const {gl} = stage;
  now = {
    button, box, ...start, extent: extent(model.corners),
    faces: createBufferInfoFromArrays(gl, {
      position: {numComponents: 3, data: s.position}, normal: {numComponents: 3, data: s.normal}, level: {numComponents: 1, data: s.level},
    }),
    lines: createBufferInfoFromArrays(gl, {position: {numComponents: 3, data: edgesOf(model, s)}}),
    bed: createBufferInfoFromArrays(gl, {position: {numComponents: 3, data: bedLines(extent(model.corners))}}),
    badges: badgesOf(model.marks, box),
  };
  box.prepend(stage.canvas);
  box.hidden = false;
  button.setAttribute('aria-expanded', 'true');
  button.textContent = 'Close the view';
  stage.watch.observe(stage.canvas);
  stage.canvas.focus();
  paint();
}

function close() {
  const {button, box, badges, faces, lines, bed} = now;
  stage.watch.disconnect();
  for (const info of [faces, lines, bed]) for (const a of Object.values(info.attribs)) stage.gl.deleteBuffer(a.buffer);
  for (const b of badges) b.element.remove();
  stage.canvas.remove();
  box.hidden = true;
  button.setAttribute('aria-expanded', 'false');
  button.textContent = 'See it in 3D';
  button.focus();
  now = undefined;
}

function makeStage() {
  const canvas = document.createElement('canvas');
  const gl = canvas.getContext('webgl', {alpha: true, antialias: true, preserveDrawingBuffer: true});
  if (!gl) return null;
  canvas.tabIndex = 0;
  canvas.setAttribute('role', 'img');
  canvas.setAttribute('aria-label', 'The model in three dimensions. Arrow keys turn it, plus and minus come nearer and go back, 0 starts afresh, Escape closes.');
  drags(canvas);
  canvas.addEventListener('keydown', key);
  canvas.addEventListener('webglcontextlost', (e) => e.preventDefault());
  document.addEventListener('click', (e) => {
    const act = e.target.closest?.('button[data-act]')?.dataset.act;
    if (act && now) move(act);
  });
  return {
    canvas, gl, watch: new ResizeObserver(paint),
    surface: createProgramInfo(gl, [surface.vertex, surface.fragment]),
    edges: createProgramInfo(gl, [edges.vertex, edges.fragment]),
  };
}

const keys = {ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down', '+': 'nearer', '=': 'nearer', '-': 'farther', '0': 'afresh', Escape: 'close'};

function key(e) {
  if (!keys[e.key] || e.ctrlKey || e.metaKey || e.altKey) return;
  e.preventDefault();
  move(keys[e.key]);
}

/** Does one thing to the view, by key or button. */
function move(act) {
  switch (act) {
    case 'left': now.yaw -= step; break;
    case 'right': now.yaw += step; break;
    case 'up': now.pitch += step; break;
    case 'down': now.pitch -= step; break;
    case 'nearer': now.zoom *= 1.25; break;
    case 'farther': now.zoom /= 1.25; break;
    case 'afresh': Object.assign(now, start); break;
    case 'close': return close();
  }
  paint();
}

function drags(canvas) {
  const held = new Map();
  canvas.addEventListener('pointerdown', (e) => {
    canvas.setPointerCapture(e.pointerId);
    held.set(e.pointerId, [e.clientX, e.clientY]);
  });
  canvas.addEventListener('pointermove', (e) => {
    const last = held.get(e.pointerId);
    if (!last || !now) return;
    const others = [...held].filter(([id]) => id !== e.pointerId).map(([, p]) => p);
    if (others.length === 1) {
      const far = (p) => Math.hypot(p[0] - others[0][0], p[1] - others[0][1]) || 1;
      now.zoom *= far([e.clientX, e.clientY]) / far(last);
    } else {
      now.yaw += (e.clientX - last[0]) * 0.01;
      now.pitch += (e.clientY - last[1]) * 0.01;
    }
    held.set(e.pointerId, [e.clientX, e.clientY]);
    paint();
  });
  for (const end of ['pointerup', 'pointercancel']) canvas.addEventListener(end, (e) => held.delete(e.pointerId));
  canvas.addEventListener('wheel', (e) => {
    // Scrolling scrolls the page; with Control, as pinching sends it, it comes nearer.
    if (!e.ctrlKey || !now) return;
    e.preventDefault();
    now.zoom *= Math.exp(-e.deltaY * 0.01);
    paint();
  }, {passive: false});
}

/** Rules the bed under the model in squares of a round size. */
function bedLines({low, high, radius}) {
  let square = 1;
  for (let k = 1; radius / square > 14; k++) square = [1, 2, 5][k % 3] * 10 ** Math.floor(k / 3);
  const from = [0, 1].map((k) => Math.floor(low[k] / square - 0.25) * square);
  const to = [0, 1].map((k) => Math.ceil(high[k] / square + 0.25) * square);
  const lines = [];
  for (let x = from[0]; x <= to[0] + square / 2; x += square) lines.push(x, from[1], 0, x, to[1], 0);
  for (let y = from[1]; y <= to[1] + square / 2; y += square) lines.push(from[0], y, 0, to[0], y, 0);
  return new Float32Array(lines);
}

function badgesOf(marks, box) {
  return marks.map((m) => {
    const element = document.createElement('span');
    element.className = 'pin ' + m.level;
    element.textContent = m.number;
    element.setAttribute('aria-hidden', 'true');
    box.append(element);
    return {element, at: m.at};
  });
}

/** Draws what is shown. */
function paint() {
  if (!now) return;
  const {gl, canvas} = stage;
  now.zoom = Math.min(Math.max(now.zoom, 0.4), 12);
  now.pitch = Math.min(Math.max(now.pitch, -Math.PI / 2), Math.PI / 2);
  resizeCanvasToDisplaySize(canvas, Math.min(devicePixelRatio || 1, 2));
  gl.viewport(0, 0, canvas.width, canvas.height);
  gl.clearColor(0, 0, 0, 0);
  gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
  gl.enable(gl.DEPTH_TEST);
  const {middle, radius} = now.extent;
  // Turned about z first, then towards the viewer: z of the model points up the screen.
  const turn = m4.rotateZ(m4.rotationX(now.pitch - Math.PI / 2), now.yaw);
  const half = radius * 1.08 / now.zoom;
  const wide = Math.max(1, canvas.width / canvas.height), high = Math.max(1, canvas.height / canvas.width);
  const look = m4.multiply(m4.ortho(-half * wide, half * wide, -half * high, half * high, -4 * radius, 4 * radius), turn);
  const view = m4.translate(look, middle.map((x) => -x));
  draw(stage.surface, now.faces, gl.TRIANGLES, {turn, view, grain: canvas.width / (canvas.clientWidth || 1), ...colours});
  draw(stage.edges, now.lines, gl.LINES, {view, ink: [...rgb('#35312c'), 1]});
  draw(stage.edges, now.bed, gl.LINES, {view, ink: [0.54, 0.56, 0.6, 1]});
  for (const b of now.badges) {
    const p = m4.transformPoint(view, b.at);
    const x = (p[0] + 1) / 2 * canvas.clientWidth, y = (1 - p[1]) / 2 * canvas.clientHeight;
    b.element.style.transform = `translate(${x}px, ${y}px) translate(-50%, -50%)`;
  }
  canvas.dataset.yaw = now.yaw.toFixed(3);
  canvas.dataset.zoom = now.zoom.toFixed(3);
}

function draw(program, info, mode, uniforms) {
  const {gl} = stage;
  if (!info.numElements) return;
  gl.useProgram(program.program);
  setBuffersAndAttributes(gl, program, info);
  setUniforms(program, uniforms);
  drawBufferInfo(gl, info, mode);
}
