// Ways to colour, numbered as the program of the card knows them, and the key of each.
const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const coded = (v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
const light = (hex) => [1, 3, 5].map((k) => linear(parseInt(hex.slice(k, k + 2), 16) / 255));

// Tones of the groups of faces, told apart by light and dark too (by eye), and of the pins.
const TONES = ['#cdb98f', '#f3ead6', '#a8492f', '#3d6a80', '#20303a', '#d39b2c', '#6b4a6e', '#8a8f5a'];
const NAMES = [...record.groups, 'pins'];

// One hue from dark to pale, in even steps of lightness, as in the pictures of the program.
const RAMP = record.ramp;

const WOODEN = () => TONES.map(() => record.wood[0]);
const WAYS = [
  { name: 'wood', way: 0, tones: WOODEN, key: () => [] },
  { name: 'kind of face', way: 1, tones: () => TONES.map(light), key: faceKey },
  { name: 'wall', way: 2, tones: WOODEN, key: wallKey },
  { name: 'leftover, inside up', way: 3, tones: WOODEN, key: () => leftKey(0) },
  { name: 'leftover, outside up', way: 4, tones: WOODEN, key: () => leftKey(1) },
];
const hasLeft = () => record.meshes.some((mesh) => mesh.left);

// Whether the creature has faces of a group.
const had = (k) => (k === PIN
  ? record.pins.length > 0
  : record.meshes.some((mesh) => mesh.runs[2 * k] + mesh.runs[2 * k + 1] > 0));

function element(tag, words, style = {}) {
  const own = document.createElement(tag);
  own.append(words);
  Object.assign(own.style, style);
  return own;
}

function faceKey() {
  return TONES.map((tone, k) => {
    const line = element('li', '');
    line.append(element('i', '', { background: tone }), NAMES[k]);
    return line;
  }).filter((_, k) => had(k));
}

// A scale in mm from no wood to the most that is told apart, with the wall that is thick enough.
function wallKey() {
  const [enough, most] = record.walls;
  const line = element('li', 'Thickness of the wood: the shortest way through it to a face that looks the other way');
  line.className = 'measure';
  line.append(scale(RAMP, most, [[0, '0'], [enough, `${mm(enough)}, least wall`], [most, `${mm(most)} or more`]]));
  return [line];
}

const mm = (v) => `${Number(v.toFixed(2))} mm`;

function scale(ramp, most, marks) {
  const tone = (rgb) => `rgb(${rgb.map((v) => Math.round(255 * coded(v))).join(' ')})`;
  const own = element('div', '', { background: `linear-gradient(to right, ${ramp.map(tone).join(', ')})` });
  own.className = 'scale';
  marks.forEach(([v, words]) => own.append(element('span', words, { left: `${100 * v / most}%` })));
  return own;
}

// A scale in mm of what the cutters leave in a set-up, dark where it is much.
function leftKey(side) {
  const { most, names } = record.left;
  const line = element('li', `${names[side][0].toUpperCase()}${names[side].slice(1)}: wood that the shop's cutters leave, as a distance from the face to the nearest surface they can cut. Faces of the other set-up have the colour of wood.`);
  line.className = 'measure';
  line.append(scale([...RAMP].reverse(), most, [[0, '0'], [most, `${mm(most)} or more`]]));
  const signs = [['over', 'over its limit'], ['hidden', 'hidden from every cutter']].map(([kind, words]) => {
    const own = element('li', '');
    const tile = element('i', '');
    tile.className = kind;
    own.append(tile, words);
    return own;
  });
  return [line, ...signs];
}

function showKey(list, way) {
  list.replaceChildren(...way.key());
  list.hidden = list.children.length === 0;
}
