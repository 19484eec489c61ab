// Ties levers, fingers and keys to what is chosen.
const turnBy = (x, y) => {
  eye.azimuth -= x;
  eye.elevation = Math.min(STEEPEST, Math.max(-STEEPEST, eye.elevation + y));
  soon();
};

const nearBy = (factor) => {
  eye.zoom = Math.min(60, Math.max(0.3, eye.zoom * factor));
  soon();
};

// By pixels to the right and down.
const moveBy = (x, y) => {
  const [right, up] = axes();
  const mm = 2 * Math.tan(SIGHT) * eye.fit / eye.zoom / Math.max($('view').clientHeight, 1);
  eye.pan = plus(eye.pan, plus(scaled(right, -x * mm), scaled(up, y * mm)));
  soon();
};

function tapped(event) {
  const canvas = $('view');
  const frame = canvas.getBoundingClientRect();
  const x = Math.floor((event.clientX - frame.left) / frame.width * canvas.width);
  const y = Math.floor((frame.bottom - event.clientY) / frame.height * canvas.height);
  choosePart(drawn.pick(scene(), [x, y]));
}

function fingers(canvas) {
  const down = new Map();
  let still = true;
  const spread = ([a, b]) => Math.hypot(a.x - b.x, a.y - b.y);
  canvas.addEventListener('pointerdown', (e) => {
    canvas.setPointerCapture(e.pointerId);
    still = down.size === 0;
    down.set(e.pointerId, { x: e.clientX, y: e.clientY });
  });
  canvas.addEventListener('pointermove', (e) => {
    const old = down.get(e.pointerId);
    if (!old) return;
    const [x, y] = [e.clientX - old.x, e.clientY - old.y];
    if (still && Math.hypot(x, y) < 4) return;
    still = false;
    const before = down.size === 2 ? spread([...down.values()]) : 0;
    down.set(e.pointerId, { x: e.clientX, y: e.clientY });
    if (down.size === 2) {
      nearBy(spread([...down.values()]) / Math.max(before, 1));
      moveBy(x / 2, y / 2);
    } else if (e.buttons & 6 || e.shiftKey) {
      moveBy(x, y);
    } else {
      turnBy(x * 0.008, y * 0.008);
    }
  });
  canvas.addEventListener('pointerup', (e) => {
    if (still && down.size === 1 && e.button === 0) tapped(e);
  });
  ['pointerup', 'pointercancel'].forEach((kind) => canvas.addEventListener(kind, (e) => down.delete(e.pointerId)));
  canvas.addEventListener('contextmenu', (e) => e.preventDefault());
  canvas.addEventListener('wheel', (e) => {
    // The page scrolls until the picture is meant: it has been touched, or a key is held.
    if (document.activeElement !== canvas && !e.ctrlKey) return;
    e.preventDefault();
    nearBy(Math.exp(-e.deltaY * (e.deltaMode ? 0.05 : 0.0015)));
  }, { passive: false });
}

function keys(canvas) {
  const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  canvas.addEventListener('keydown', (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const arrow = arrows[e.key];
    if (arrow && e.shiftKey) moveBy(-40 * arrow[0], -40 * arrow[1]);
    else if (arrow) turnBy(-0.12 * arrow[0], -0.12 * arrow[1]);
    else if (e.key === '+' || e.key === '=') nearBy(1.2);
    else if (e.key === '-') nearBy(1 / 1.2);
    else if (e.key === '0') everything();
    else if (e.key === 'Escape') choosePart(-1);
    else return;
    e.preventDefault();
  });
}

function everything() {
  leavePlace();
  choosePart(-1);
  showOnly(() => true);
  lookFrom(views().front);
}

function colours() {
  $('colours').append(...WAYS.map((way, k) => {
    const label = document.createElement('label');
    const box = document.createElement('input');
    Object.assign(box, { type: 'radio', name: 'colour', checked: k === 0 });
    box.addEventListener('change', () => {
      state.way = way;
      showKey($('key'), way);
      soon();
    });
    label.append(box, ` ${way.name}`);
    return label;
  }));
}

function levers() {
  $('bend').addEventListener('input', (e) => bendTo(e.target.value / 100));
  $('how').addEventListener('change', (e) => bendTo(state.bend, e.target.value));
  $('apart').addEventListener('input', (e) => openTo(e.target.value / 100));
  $('bend').disabled = !record.joints.length;
  $('hide').addEventListener('click', () => {
    const gone = state.picked;
    showOnly((k) => k !== gone && !state.hidden.has(k));
    choosePart(-1);
  });
  $('alone').addEventListener('click', () => showOnly((k) => k === state.picked));
  $('all').addEventListener('click', everything);
  all('[data-view]').forEach((b) => b.addEventListener('click', () => lookFrom(views()[b.dataset.view])));
  all('[data-place]').forEach((b) => b.addEventListener('click', () => {
    fly(Number(b.dataset.place));
    $('model').scrollIntoView({ behavior: calm.matches ? 'auto' : 'smooth', block: 'start' });
  }));
  all('[data-pick]').forEach((b) => b.addEventListener('click', () => choosePart(Number(b.dataset.pick))));
  all('[data-shown]').forEach((b) => b.addEventListener('change', () => {
    const own = Number(b.dataset.shown);
    showOnly((k) => (k === own ? b.checked : !state.hidden.has(k)));
  }));
  colours();
  bendTo(0);
  openTo(0);
}

function papers() {
  all('[name=paper]').forEach((b) => b.addEventListener('change', () => {
    document.documentElement.dataset.paper = b.value;
    soon();
  }));
  nightly.addEventListener('change', soon);
}

// Places as the page moves them, for tests and for the curious.
globalThis.limberwood = Object.freeze({
  record,
  bends,
  poses,
  get posed() { return posed(); },
  get drawn() { return drawn !== null; },
});

function start() {
  papers();
  $('levers').hidden = false;
  const canvas = $('view');
  const gl = canvas.getContext('webgl2', { antialias: true });
  if (!gl) {
    $('missing').hidden = false;
    document.documentElement.dataset.flat = '';
    return;
  }
  $('stand-in').hidden = true;
  canvas.hidden = false;
  $('keys').hidden = false;
  drawn = drawer(gl);
  canvas.addEventListener('webglcontextlost', (e) => e.preventDefault());
  canvas.addEventListener('webglcontextrestored', () => {
    drawn = drawer(gl);
    soon();
  });
  fingers(canvas);
  keys(canvas);
  levers();
  lookFrom(views().front);
  new ResizeObserver(soon).observe(canvas);
}
start();
