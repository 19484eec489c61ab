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
  own.append(made('p', '', `The file as it is now cannot be made.${still}`));
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

async function follow(told) {
  let version = document.documentElement.dataset.live;
  for (;;) {
    try {
      const answer = await fetch(`/next?after=${encodeURIComponent(version)}`, { cache: 'no-store' });
      if (answer.status === 200) {
        const news = await answer.json();
        version = news.version;
        document.documentElement.dataset.live = version;
        showState('');
        showFaults(news.faults);
        if (news.page) told(news.page);
      } else if (answer.status === 204) {
        showState('');
      } else {
        await pause(1000);
      }
    } catch (e) {
      if (!(e instanceof TypeError)) throw e;
      showState('No word from limberwood watch. Is it still at work?');
      await pause(1000);
    }
  }
}
