// Looking through the layers of a model: one picture, a slider, and a ring where the
// finding is that was asked for last.
import {block} from './data.js';

/** Makes the layer views of all models; each reads its data when it is first used. */
export function layers() {
  for (const figure of document.querySelectorAll('figure[data-slices]')) {
    figure.hidden = false;
    let view;
    const open = () => (view ??= viewer(figure));
    figure.addEventListener('pointerenter', open);
    figure.addEventListener('focusin', open);
    figure.layer = (number) => open().find(number);
    new IntersectionObserver((seen, watch) => {
      if (!seen.some((s) => s.isIntersecting)) return;
      watch.disconnect();
      open();
    }).observe(figure);
  }
}

function viewer(figure) {
  const data = block('slices-' + figure.dataset.slices);
  const slider = figure.querySelector('input');
  const says = figure.querySelector('output');
  const sheet = figure.querySelector('.sheet');
  const picture = new Image();
  const ring = document.createElement('span');
  ring.className = 'ring';
  ring.hidden = true;
  const frame = document.createElement('div');
  frame.className = 'frame';
  frame.append(picture, ring);
  sheet.append(frame, bar(data.wide));
  slider.max = data.heights.length - 1;
  sheet.classList.toggle('tall', data.high > 0.8 * data.wide);

  const paint = () => {
    const k = +slider.value;
    const words = `Layer ${data.layers[k]}, ${data.heights[k]} mm above the bed.`;
    picture.src = 'data:image/png;base64,' + data.png[data.shows[k]];
    picture.alt = words;
    says.textContent = words;
    slider.setAttribute('aria-valuetext', words);
  };
  const find = (number) => {
    const mark = data.marks.find((m) => m.number === number);
    ring.hidden = !mark;
    if (!mark) return;
    slider.value = mark.at;
    ring.style.left = 100 * mark.x / data.wide + '%';
    ring.style.top = 100 * mark.y / data.high + '%';
    paint();
  };
  slider.addEventListener('input', () => {
    ring.hidden = true;
    paint();
  });
  paint();
  if (data.marks.length) find(data.marks[0].number);
  return {find};
}

/** Makes a bar of a round length for a picture that is so many mm wide. */
function bar(wide) {
  let length = 1;
  for (let k = 1; length < wide * 0.15; k++) length = [1, 2, 5][k % 3] * 10 ** Math.floor(k / 3);
  const element = document.createElement('span');
  element.className = 'length';
  element.textContent = length + ' mm';
  element.style.width = 100 * length / wide + '%';
  return element;
}
