// Sorting and filtering of the list of models. Rows and the sections below it move and
// hide together.

const controls = ['find', 'show', 'rule', 'sort'];

/** Makes the list sortable and filterable. */
export function list(models) {
  const bar = document.getElementById('controls');
  const body = document.querySelector('#models tbody');
  if (!bar || !body || !models) return;
  const items = models.map((m) => ({
    ...m,
    row: document.getElementById('row-' + m.id),
    section: document.getElementById('m' + m.id),
    text: (m.name + ' ' + m.rules.join(' ')).toLowerCase(),
  }));
  const at = Object.fromEntries(controls.map((name) => [name, document.getElementById('by-' + name)]));
  let down = false;

  const filter = () => {
    const words = at.find.value.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const item of items) {
      const visible = words.every((w) => item.text.includes(w)) &&
        (at.show.value === '' || item.state === at.show.value) &&
        (at.rule.value === '' || item.rules.includes(at.rule.value));
      item.row.hidden = !visible;
      if (item.section) item.section.hidden = !visible;
      if (visible) shown++;
    }
    document.getElementById('shown').textContent = `${shown} of ${items.length} shown`;
  };

  const sort = () => {
    const key = at.sort.value;
    const sign = down ? -1 : 1;
    const order = [...items].sort((a, b) => sign * compare(a[key], b[key]) || a.worst - b.worst);
    const parent = document.getElementById('details');
    for (const item of order) {
      body.append(item.row);
      if (item.section) parent.append(item.section);
    }
    for (const head of document.querySelectorAll('#models th[data-key]')) {
      const own = head.dataset.key === key;
      head.setAttribute('aria-sort', own ? (down ? 'descending' : 'ascending') : 'none');
    }
  };

  for (const head of document.querySelectorAll('#models th[data-key]')) {
    const button = document.createElement('button');
    button.type = 'button';
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener('click', () => {
      const again = at.sort.value === head.dataset.key;
      // Numbers are asked for with the largest first, names and ranks the other way.
      down = again ? !down : typeof items[0]?.[head.dataset.key] === 'number' && head.dataset.key !== 'worst';
      at.sort.value = head.dataset.key;
      sort();
    });
  }
  at.find.addEventListener('input', filter);
  at.show.addEventListener('change', filter);
  at.rule.addEventListener('change', filter);
  at.sort.addEventListener('change', () => {
    down = typeof items[0]?.[at.sort.value] === 'number' && at.sort.value !== 'worst';
    sort();
  });
  // A link to what a filter hides shows it again.
  const reveal = () => {
    const item = items.find((i) => location.hash === '#m' + i.id || location.hash.startsWith(`#m${i.id}-`));
    if (!item?.section?.hidden) return;
    for (const name of ['find', 'show', 'rule']) at[name].value = '';
    filter();
    document.getElementById(location.hash.slice(1))?.scrollIntoView();
  };
  addEventListener('hashchange', reveal);
  bar.hidden = false;
  filter();
  sort();
}

/** Compares numbers as numbers and names as people do. */
function compare(a, b) {
  if (typeof a === 'number') return a - b;
  return a.localeCompare(b, 'en', {numeric: true, sensitivity: 'base'});
}
