// Sorting and filtering of the list of models. Rows and the sections below it move and
// hide together, and the way to the next model follows.
import {read, write, show} from './address.js';

const all = ['find', 'show', 'machine', 'rule', 'sort'];

/** Makes the list sortable and filterable. */
export function list(models) {
  const bar = document.getElementById('controls');
  const body = document.querySelector('#models tbody');
  if (!bar || !body || !models) return;
  const items = models.map((m) => ({
    ...m,
    row: document.getElementById('row-' + m.id),
    cells: document.getElementById('x' + m.id),
    section: document.getElementById('m' + m.id),
    text: [m.name, m.path, ...m.rules].join(' ').toLowerCase(),
  }));
  const controls = all.filter((name) => document.getElementById('by-' + name)); // one of machines only where there are several
  const filters = controls.filter((name) => name !== 'sort');
  const at = Object.fromEntries(controls.map((name) => [name, document.getElementById('by-' + name)]));
  const none = document.getElementById('none');
  let down = false;
  let order = items;

  const filter = () => {
    const words = at.find.value.toLowerCase().split(/\s+/).filter(Boolean);
    const machine = at.machine ? at.machine.selectedIndex - 1 : -1;
    let shown = 0;
    for (const item of items) {
      const visible = words.every((w) => item.text.includes(w)) &&
        (at.show.value === '' || (machine < 0 ? item.state : item.on?.[machine]) === at.show.value) &&
        (at.rule.value === '' || item.rules.includes(at.rule.value));
      for (const part of [item.row, item.cells, item.section]) if (part) part.hidden = !visible;
      if (visible) shown++;
    }
    document.getElementById('shown').textContent = `${shown} of ${items.length} shown`;
    none.hidden = shown > 0;
    for (const line of document.querySelectorAll('#matrix colgroup, #matrix tr')) {
      [...line.children].slice(1).forEach((cell, k) => {
        cell.classList.toggle('on', k === machine);
        cell.classList.toggle('off', machine >= 0 && k !== machine);
      });
    }
    for (const part of document.querySelectorAll('[data-machines]')) part.hidden = machine >= 0 && !part.dataset.machines.split(' ').includes(String(machine));
    for (const id of ['shelf', 'models']) document.getElementById(id)?.toggleAttribute('hidden', shown === 0);
    steps();
  };

  // Previous and next go by what is shown, in its order.
  const steps = () => {
    const list = order.filter((i) => i.section && !i.section.hidden);
    list.forEach((item, k) => {
      for (const [name, other] of [['prev', list[k - 1]], ['next', list[k + 1]]]) {
        const link = item.section.querySelector('.steps .' + name);
        link.hidden = !other;
        if (other) link.setAttribute('href', '#m' + other.id);
      }
    });
  };

  const sort = () => {
    const key = at.sort.value;
    const sign = down ? -1 : 1;
    order = [...items].sort((a, b) => sign * compare(a[key], b[key]) || a.worst - b.worst);
    const parent = document.getElementById('details');
    for (const item of order) {
      body.append(item.row);
      if (item.cells) item.cells.parentElement.append(item.cells);
      if (item.section) parent.append(item.section);
    }
    for (const head of document.querySelectorAll('#models th[data-key]')) {
      const own = head.dataset.key === key;
      head.setAttribute('aria-sort', own ? (down ? 'descending' : 'ascending') : 'none');
    }
    steps();
  };
  // Numbers are asked for with the largest first, names and ranks the other way.
  const falls = (key) => typeof items[0]?.[key] === 'number' && key !== 'worst';

  const settings = () => ({
    ...Object.fromEntries(controls.map((name) => [name, at[name].value])),
    sort: at.sort.value === 'worst' && !down ? '' : at.sort.value + (down === falls(at.sort.value) ? '' : '-back'),
  });
  const keep = (place = '') => history.replaceState(null, '', write(place, settings()));

  const obey = ({set}) => {
    const [key, back] = (set.sort ?? 'worst').split('-');
    for (const name of filters) at[name].value = set[name] ?? '';
    if (at.machine?.selectedIndex < 0) at.machine.selectedIndex = 0; // a link from another shelf
    at.sort.value = key;
    if (!at.sort.value) at.sort.value = 'worst';
    down = falls(at.sort.value) !== (back === 'back');
    filter();
    sort();
  };
  // What a link leads to is shown, whatever the filter hid.
  const follow = () => {
    const to = read();
    if (Object.keys(to.set).length) obey(to);
    const item = items.find((i) => to.at === 'm' + i.id || to.at.startsWith(`m${i.id}-`));
    if (item?.section?.hidden) {
      for (const name of filters) at[name].value = '';
      filter();
    }
    keep(to.at);
    show(to.at);
  };

  for (const head of document.querySelectorAll('#models th[data-key]')) {
    const button = document.createElement('button');
    button.type = 'button';
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener('click', () => {
      const again = at.sort.value === head.dataset.key;
      down = again ? !down : falls(head.dataset.key);
      at.sort.value = head.dataset.key;
      sort();
      keep();
    });
  }
  at.find.addEventListener('input', () => { filter(); keep(); });
  for (const name of filters.slice(1)) at[name].addEventListener('change', () => { filter(); keep(); });
  at.sort.addEventListener('change', () => {
    down = falls(at.sort.value);
    sort();
    keep();
  });
  none.querySelector('button').addEventListener('click', () => { obey({set: {}}); keep(); });
  for (const count of document.querySelectorAll('.totals [data-show]')) {
    const link = document.createElement('a');
    link.setAttribute('href', write('list-title', {show: count.dataset.show}));
    link.append(...count.childNodes);
    count.append(link);
  }
  bar.hidden = false;
  obey(read());
  addEventListener('hashchange', follow);
  if (read().at) follow();
}

/** Compares numbers as numbers and names as people do. */
function compare(a, b) {
  if (typeof a === 'number') return a - b;
  return a.localeCompare(b, 'en', {numeric: true, sensitivity: 'base'});
}
