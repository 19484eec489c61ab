// Where the eye stands. Azimuth 0 is in front of the creature, a quarter turn at its left.
const VIEWS = { front: [0.80, 0.45], side: [Math.PI / 2, 0.12], above: [Math.PI / 2, 1.5], below: [Math.PI / 2, -1.4] };
// On upright screens, more from the front: the picture is filled better.
const UPRIGHT = { ...VIEWS, front: [0.45, 0.62], side: [1.2, 0.4] };
const STEEPEST = 1.55;
// Half the angle of sight from top to bottom: a long lens, so that little is distorted.
const SIGHT = 0.16;
const FREE = 1.1;

const eye = { azimuth: VIEWS.front[0], elevation: VIEWS.front[1], zoom: 1, pan: [0, 0, 0], place: -1, aim: [0, 0, 0], fit: 1 };

// Directions to the right and up in the picture, and towards the eye.
function axes() {
  const [sa, ca] = [Math.sin(eye.azimuth), Math.cos(eye.azimuth)];
  const [se, ce] = [Math.sin(eye.elevation), Math.cos(eye.elevation)];
  return [[sa, -ca, 0], [ca * se, sa * se, ce], [-ca * ce, -sa * ce, se]];
}

// Corners of the boxes of all parts that are shown.
function corners(all, hidden) {
  const out = [];
  record.parts.forEach((part, k) => {
    if (hidden.has(k) && hidden.size < record.parts.length) return;
    const [low, high] = box(record.meshes[part.mesh]);
    for (let i = 0; i < 8; i += 1) {
      out.push(apply(all[k], [0, 1, 2].map((c) => (i >> c & 1 ? high[c] : low[c]))));
    }
  });
  return out;
}

function extent(points, directions) {
  return directions.map((d) => {
    const along = points.map((p) => dot(p, d));
    return [along.reduce((a, b) => Math.min(a, b)), along.reduce((a, b) => Math.max(a, b))];
  });
}

// Aims at the middle of what is seen of the points, from where all are just seen.
function fit(points, aspect) {
  const directions = axes();
  const tall = Math.tan(SIGHT);
  let aim = extent(points, directions)
    .map(([a, b], k) => scaled(directions[k], (a + b) / 2))
    .reduce(plus);
  let far = 0;
  // The nearer end is seen larger, so the middle moves with the distance; this settles quickly.
  for (let round = 0; round < 6; round += 1) {
    const own = points.map((p) => directions.map((d) => dot(plus(p, scaled(aim, -1)), d)));
    far = Math.max(...own.map(([x, y, z]) => z + Math.max(Math.abs(x) / (tall * aspect), Math.abs(y) / tall)));
    const sights = own.map(([x, y, z]) => [x / (far - z), y / (far - z)]);
    [0, 1].forEach((c) => {
      const along = sights.map((s) => s[c]);
      const off = (along.reduce((a, b) => Math.min(a, b)) + along.reduce((a, b) => Math.max(a, b))) / 2;
      aim = plus(aim, scaled(directions[c], off * far));
    });
  }
  return { aim, fit: FREE * far };
}

// What the drawing needs to know of eye, lamp and ground.
function seen(points, aspect, target) {
  const [right, up, to] = axes();
  const far = eye.fit / eye.zoom;
  const camera = plus(target, scaled(to, far));
  const [low, high] = extent(points, [[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    .reduce(([l, h], [a, b]) => [[...l, a], [...h, b]], [[], []]);
  const centre = scaled(plus(low, high), 0.5);
  const radius = Math.hypot(...plus(high, scaled(low, -1))) / 2;
  // Around what is shown, wherever the eye is; never nearer than a hundredth.
  const away = Math.hypot(...plus(camera, scaled(centre, -1)));
  const near = Math.max(away - 3 * radius, far / 100);
  const lens = perspective(aspect, near, away + 3 * radius);
  return {
    camera, radius,
    ground: [centre[0], centre[1], low[2] - 0.2],
    eye: times(lens, looking([right, up, to], camera)),
    lamp: lampOver(centre, radius),
  };
}

// From the creature into a frame of three directions about a place.
const looking = (directions, from) => [
  ...[0, 1, 2].flatMap((c) => [...directions.map((d) => d[c]), 0]),
  ...directions.map((d) => -dot(d, from)), 1,
];

function perspective(aspect, near, far) {
  const f = 1 / Math.tan(SIGHT);
  return [f / aspect, 0, 0, 0, 0, f, 0, 0, 0, 0, (far + near) / (near - far), -1, 0, 0, 2 * far * near / (near - far), 0];
}

// Parallel light over a ball round all that is shown, and its shadow on the ground.
function lampOver(centre, radius) {
  const side = unit(cross([0, 0, 1], SUN));
  const r = 1.15 * radius;
  const s = 1 / r;
  return times([s, 0, 0, 0, 0, s, 0, 0, 0, 0, -s / 2, 0, 0, 0, 0, 1], looking([side, cross(SUN, side), SUN], centre));
}
