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

// The pixel under a pointer, from the lower left.
function under(event) {
  const canvas = $('view');
  const frame = canvas.getBoundingClientRect();
  return [
    Math.floor((event.clientX - frame.left) / frame.width * canvas.width),
    Math.floor((frame.bottom - event.clientY) / frame.height * canvas.height),
  ];
}

const tapped = (event) => choosePart(drawn.pick(scene(), under(event)));

// At the ring of a place that was flown to stands what the check measured there.
function atPlace(event) {
  if (eye.place < 0) return false;
  const frame = $('view').getBoundingClientRect();
  const [x, y] = ['left', 'top'].map((side) => parseFloat($('flag').style[side]) / 100);
  return Math.hypot(frame.left + x * frame.width - event.clientX, frame.top + y * frame.height - event.clientY) < 10;
}

// What is measured under the pointer, in words.
function measuredAt(event) {
  if (atPlace(event)) return `${record.places[eye.place].measured}, as checked`;
  const now = scene();
  const found = now.way < 2 ? null : drawn.measured(now, under(event));
  if (!found) return '';
  if (now.way === 2) return found.mm >= record.walls[1] ? `${mm(record.walls[1])} of wood or more` : `${mm(found.mm)} of wood`;
  const over = found.over ? ', over its limit' : '';
  return found.hidden ? `hidden: ${mm(found.mm)} stands over it` : `${mm(found.mm)} left${over}`;
}

let hovered = 0;
function hovering(event) {
  if (state.way.way < 2 || hovered) return;
  hovered = requestAnimationFrame(() => {
    hovered = 0;
    caption(measuredAt(event));
  });
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
    if (!old) {
      hovering(e);
      return;
    }
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
      colourBy(way);
    });
    label.append(box, ` ${way.name}`);
    return label;
  }));
}

function colourBy(way) {
  state.way = way;
  showKey($('key'), way);
  caption('');
  soon();
}

// What can be measured only when the checks are done.
function offered() {
  all('[name=colour]').forEach((box, k) => {
    const own = k < 3 || hasLeft();
    box.disabled = !own;
    box.closest('label').hidden = !own;
  });
  if (state.way.way > 2 && !hasLeft()) return;
  showKey($('key'), state.way);
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
  // Lists come anew when files change, so they are listened to from above.
  document.addEventListener('click', (e) => {
    const own = e.target.closest('[data-place], [data-pick]');
    if (!own) return;
    if (own.dataset.pick) choosePart(Number(own.dataset.pick));
    else {
      fly(Number(own.dataset.place));
      $('model').scrollIntoView({ behavior: calm.matches ? 'auto' : 'smooth', block: 'start' });
    }
  });
  document.addEventListener('change', (e) => {
    if (!e.target.dataset.shown) return;
    const own = Number(e.target.dataset.shown);
    showOnly((k) => (k === own ? e.target.checked : !state.hidden.has(k)));
  });
  colours();
  offered();
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
  get record() { return record; },
  ramp: RAMP,
  bends,
  poses,
  get eye() { return scene().eye; },
  get state() { return { how: state.how, bend: state.bend, apart: state.apart, way: state.way.way, azimuth: eye.azimuth }; },
  measured: (x, y) => (drawn ? drawn.measured(scene(), [x, y]) : null),
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
