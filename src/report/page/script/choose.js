// What is chosen on the page, and the picture that follows from it.
const $ = (id) => document.getElementById(id);
const all = (selector) => [...document.querySelectorAll(selector)];
const calm = matchMedia('(prefers-reduced-motion: reduce)');
const nightly = matchMedia('(prefers-color-scheme: dark)');

const state = { how: 'sideways', bend: 0, apart: 0, picked: -1, hidden: new Set(), way: WAYS[0] };
let drawn = null;
let waiting = false;

const posed = () => poses(state.how, state.bend, state.apart);

function aspect() {
  return $('view').clientWidth / Math.max($('view').clientHeight, 1);
}

const views = () => (aspect() < 1.35 ? UPRIGHT : VIEWS);

// Steps back until all is seen.
function refit() {
  Object.assign(eye, fit(corners(posed(), state.hidden), aspect()));
}

function placed(k, motion) {
  const { part, at } = record.places[k];
  const p = record.parts[part];
  return apply(motion[p.section], plus(at, scaled(outwards(p), state.apart * OPEN)));
}

function scene() {
  const own = posed();
  const moved = motions(state.how, state.bend);
  const points = corners(own, state.hidden);
  const target = plus(eye.place < 0 ? eye.aim : placed(eye.place, moved), eye.pan);
  return {
    ...seen(points, aspect(), target),
    poses: own,
    motions: moved,
    hidden: state.hidden,
    // A part alone needs no mark.
    picked: record.parts.length - state.hidden.size > 1 ? state.picked : -1,
    tones: state.way.tones(),
    way: state.way.way,
    dark: (document.documentElement.dataset.paper || (nightly.matches ? 'dark' : 'light')) === 'dark',
  };
}

function flag(now) {
  const own = $('flag');
  own.hidden = eye.place < 0;
  if (own.hidden) return;
  const [x, y, z] = placed(eye.place, now.motions);
  const m = now.eye;
  const w = m[3] * x + m[7] * y + m[11] * z + m[15];
  const [h, v] = [0, 1].map((r) => (m[r] * x + m[4 + r] * y + m[8 + r] * z + m[12 + r]) / w);
  own.style.left = `${50 + 50 * h}%`;
  own.style.top = `${50 - 50 * v}%`;
}

function soon() {
  if (waiting || !drawn) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    const canvas = $('view');
    const dense = Math.min(devicePixelRatio || 1, 2);
    const [w, h] = [canvas.clientWidth, canvas.clientHeight].map((n) => Math.max(1, Math.round(n * dense)));
    if (canvas.width !== w || canvas.height !== h) {
      canvas.width = w;
      canvas.height = h;
      refit();
    }
    const now = scene();
    drawn.draw(now);
    flag(now);
  });
}

// To half a degree, as everywhere.
const degrees = (radians) => `${Math.round(Math.abs(radians) * 360 / Math.PI) / 2}°`;

function bendWords() {
  const most = Math.max(0, ...bends(state.how, state.bend).map(Math.abs));
  if (!record.joints.length) return 'no joint';
  if (most < 1e-9) return 'straight';
  const stop = Math.abs(state.bend) === 1 && state.how !== 'wave' ? ', the limit' : '';
  return `${degrees(most)} at the most bent joint${stop}`;
}

function bendTo(part, how = state.how) {
  state.bend = Math.min(1, Math.max(-1, part));
  state.how = how;
  $('bend-words').value = bendWords();
  $('bend').setAttribute('aria-valuetext', bendWords());
  if (eye.place < 0) refit();
  soon();
}

function openTo(part) {
  state.apart = part;
  const words = part === 0 ? 'closed' : `${Math.round(2 * part * OPEN)} mm between the halves`;
  $('apart-words').value = words;
  $('apart').setAttribute('aria-valuetext', words);
  $('apart').value = Math.round(100 * part);
  if (eye.place < 0) refit();
  soon();
}

function caption(words) {
  $('caption').textContent = words;
}

function choosePart(k) {
  state.picked = k;
  all('[data-pick]').forEach((b) => b.setAttribute('aria-pressed', String(Number(b.dataset.pick) === k)));
  ['hide', 'alone'].forEach((id) => { $(id).disabled = k < 0; });
  caption(k < 0 ? '' : record.parts[k].name);
  soon();
}

function showOnly(keep) {
  state.hidden = new Set(record.parts.map((_, k) => k).filter((k) => !keep(k)));
  all('[data-shown]').forEach((b) => { b.checked = !state.hidden.has(Number(b.dataset.shown)); });
  if (eye.place < 0) refit();
  soon();
}

function leavePlace() {
  eye.place = -1;
  eye.pan = [0, 0, 0];
  eye.zoom = 1;
  all('[data-place]').forEach((b) => b.removeAttribute('aria-current'));
}

function lookFrom([azimuth, elevation]) {
  leavePlace();
  [eye.azimuth, eye.elevation] = [azimuth, elevation];
  refit();
  soon();
}

// How near a place is looked at: this far from top to bottom, mm.
const NEAR = 70;

// Flies to a place: to the glue face if it lies in it, with the part alone, else to its outside.
function fly(k) {
  const { part, at, measured } = record.places[k];
  const p = record.parts[part];
  const out = outwards(p);
  const inside = !p.whole && dot(out, at) < 0.5;
  showOnly((n) => !inside || n === part);
  choosePart(part);
  const side = p.whole ? [0, 0, 1] : scaled(out, inside ? -1 : 1);
  const to = unit(plus(side, [-0.25, -0.55, 0.2]));
  const goal = {
    azimuth: Math.atan2(-to[1], -to[0]),
    elevation: Math.asin(to[2]),
    zoom: eye.fit * Math.tan(SIGHT) * 2 / NEAR,
  };
  leavePlace();
  eye.place = k;
  $('flag').textContent = measured;
  caption(inside ? `${p.name}, alone: ${measured}` : `${p.name}: ${measured}`);
  all('[data-place]').forEach((b) => {
    if (Number(b.dataset.place) === k) b.setAttribute('aria-current', 'true');
  });
  glide(goal);
}

// Moves the eye there in half a second, or at once for those who want no motion.
function glide(goal) {
  const from = { ...eye };
  const turn = Math.atan2(Math.sin(goal.azimuth - from.azimuth), Math.cos(goal.azimuth - from.azimuth));
  const start = performance.now();
  const step = (time) => {
    const t = calm.matches ? 1 : Math.min(1, Math.max(0, (time - start) / 500));
    const s = t * t * (3 - 2 * t);
    eye.azimuth = from.azimuth + s * turn;
    eye.elevation = from.elevation + s * (goal.elevation - from.elevation);
    eye.zoom = Math.max(1, goal.zoom) ** s;
    soon();
    if (t < 1) requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
}
