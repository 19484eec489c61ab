// Follows the files over the server that sent this page.
const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

function made(tag, id, words = '') {
  const own = document.createElement(tag);
  if (id) own.id = id;
  own.textContent = words;
  return own;
}

// Faults of the files over the page, until they are gone.
function showFaults(faults) {
  const old = document.getElementById('faults');
  if (!faults.length) {
    if (old) old.remove();
    return;
  }
  const own = made('section', 'faults');
  own.setAttribute('role', 'alert');
  const still = document.getElementById('view') ? ' What you see below is the last one that could.' : '';
  const head = faults.every((fault) => fault.shown)
    ? 'What you see below is the file as it is now, but not checked.'
    : `The file as it is now cannot be made.${still}`;
  own.append(made('p', '', head));
  const list = made('ol');
  faults.forEach(({ at, words }) => {
    const line = made('li');
    line.append(made('b', '', at), ` ${words}`);
    list.append(line);
  });
  own.append(list);
  if (old) old.replaceWith(own);
  else document.body.append(own);
}

// A word at the edge of the page.
function showState(words) {
  const own = document.getElementById('state') || made('p', 'state');
  own.setAttribute('role', 'status');
  own.textContent = words;
  own.hidden = !words;
  if (!own.isConnected) document.body.append(own);
}

// What the server answers; null when there is none.
async function asked(version) {
  try {
    const answer = await fetch(`/next?after=${encodeURIComponent(version)}`, { cache: 'no-store' });
    return { status: answer.status, news: answer.status === 200 ? await answer.json() : null };
  } catch (e) {
    if (!(e instanceof TypeError)) throw e;
    return null;
  }
}

async function follow(told) {
  let version = document.documentElement.dataset.live;
  for (;;) {
    const answer = await asked(version);
    if (!answer) {
      showState('No word from limberwood watch. Is it still at work?');
      await pause(1000);
    } else if (answer.news) {
      ({ version } = answer.news);
      document.documentElement.dataset.live = version;
      showState('');
      showFaults(answer.news.faults);
      if (answer.news.page) told(answer.news.page);
    } else if (answer.status === 204) {
      showState('');
    } else {
      await pause(1000);
    }
  }
}
