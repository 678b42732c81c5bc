// What the address says behind its #: the place that is shown, and how the list is
// filtered and sorted. Both are kept there, so that a link shows what its sender saw.

/** Splits a fragment into the place it names and its settings. */
export function read(fragment = location.hash) {
  const out = {at: '', set: {}};
  for (const part of fragment.replace(/^#/, '').split('&')) {
    const [key, ...value] = part.split('=');
    if (!value.length) out.at ||= key;
    else out.set[key] = decode(value.join('='));
  }
  return out;
}

function decode(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

/** Writes a place and settings as a fragment; what is empty is left out. */
export function write(at, set) {
  const parts = Object.entries(set).filter(([, value]) => value !== '').map(([key, value]) => `${key}=${encodeURIComponent(value)}`);
  return '#' + [at, ...parts].filter(Boolean).join('&');
}

let marked;

/** Shows the element that a place names, and marks it. */
export function show(at) {
  marked?.classList.remove('at');
  marked = at ? document.getElementById(at) : null;
  if (!marked) return;
  for (let e = marked.parentElement; e; e = e.parentElement) if (e.localName === 'details') e.open = true;
  marked.classList.add('at');
  marked.scrollIntoView();
}
