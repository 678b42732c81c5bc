// A finding and its places in the pictures show each other.

/** The place that a number in a picture leads to; links of drawings have no hash. */
const target = (sign) => sign.getAttribute('href').slice(1);

/** Marks the number of a finding in the pictures of its model, and shows its layer. */
function point(article, number) {
  for (const sign of article.querySelectorAll('.picture a')) {
    sign.classList.toggle('on', target(sign).endsWith('-' + number));
  }
  article.querySelector('figure[data-slices]')?.layer?.(number);
}

/** Lets findings be clicked, and what leads to them. */
export function places() {
  const pointAt = (id) => {
    const place = id ? document.getElementById(id) : null;
    const article = place?.closest('article');
    if (article && place.dataset.number) point(article, +place.dataset.number);
  };
  document.getElementById('details').addEventListener('click', (e) => {
    const sign = e.target.closest?.('.picture a');
    if (sign) return pointAt(target(sign));
    if (e.target.closest?.('a, button, summary, input, label')) return;
    pointAt(e.target.closest?.('li[data-number]')?.id);
  });
  for (const place of document.querySelectorAll('.found ol > li[data-number]')) {
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'point';
    button.textContent = 'Show it';
    button.addEventListener('click', () => {
      pointAt(place.id);
      place.closest('article').querySelector('.views')?.scrollIntoView({block: 'nearest'});
    });
    place.querySelector('.say')?.after(' ', button);
  }
  const follow = () => pointAt(location.hash.slice(1).split('&')[0]);
  addEventListener('hashchange', follow);
  follow();
}

/** Gives every command a button that copies it. */
export function copying() {
  for (const code of document.querySelectorAll('.commands code')) {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = 'Copy';
    button.setAttribute('aria-label', 'Copy ' + code.textContent);
    button.addEventListener('click', async () => {
      try {
        await navigator.clipboard.writeText(code.textContent);
        button.textContent = 'Copied';
      } catch {
        getSelection().selectAllChildren(code);
        button.textContent = 'Press Ctrl+C';
      }
    });
    code.after(' ', button);
  }
}
