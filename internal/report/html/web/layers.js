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
  sheet.append(picture, ring);
  slider.max = data.heights.length - 1;

  const paint = () => {
    const k = +slider.value;
    const words = `Layer ${data.layers[k]}, ${data.heights[k]} mm above the bed.`;
    picture.src = 'data:image/png;base64,' + data.png[k];
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
