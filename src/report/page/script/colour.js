// Ways to colour, numbered as the program of the card knows them, and the key of each.
const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const coded = (v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
const light = (hex) => [1, 3, 5].map((k) => linear(parseInt(hex.slice(k, k + 2), 16) / 255));

// Tones of the groups of faces, told apart by light and dark too (by eye), and of the pins.
const TONES = ['#cdb98f', '#f3ead6', '#a8492f', '#3d6a80', '#20303a', '#d39b2c', '#6b4a6e', '#8a8f5a'];
const NAMES = [...record.groups, 'pins'];

// Oklab (B. Ottosson, 2020, matrices from memory) to linear light.
function ofOklab([l, a, b]) {
  const [x, y, z] = [
    l + 0.3963377774 * a + 0.2158037573 * b,
    l - 0.1055613458 * a - 0.0638541728 * b,
    l - 0.0894841775 * a - 1.2914855480 * b,
  ].map((v) => v ** 3);
  return [
    4.0767416621 * x - 3.3077115913 * y + 0.2309699292 * z,
    -1.2684380046 * x + 2.6097574011 * y - 0.3413193965 * z,
    -0.0041960863 * x - 0.7034186147 * y + 1.7076147010 * z,
  ].map((v) => Math.min(1, Math.max(0, v)));
}

// One hue from dark, where the wall is thin, to pale, in nine even steps of lightness.
const HUE = 0.72;
const RAMP = [...Array(9).keys()].map((k) => {
  const chroma = 0.115 - 0.085 * (k / 8);
  return ofOklab([0.34 + 0.60 * (k / 8), chroma * Math.cos(HUE), chroma * Math.sin(HUE)]);
});

const WAYS = [
  { name: 'wood', way: 0, tones: TONES.map(() => record.wood[0]), key: () => [] },
  { name: 'kind of face', way: 1, tones: TONES.map(light), key: faceKey },
  { name: 'wall', way: 2, tones: TONES.map(() => record.wood[0]), key: wallKey },
];

// Groups that the creature has.
const had = NAMES.map((_, k) => (k === PIN
  ? record.pins.length > 0
  : record.meshes.some((mesh) => mesh.runs[k] > 0)));

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
  }).filter((_, k) => had[k]);
}

// A scale in mm from no wood to the most that is told apart, with the wall that is thick enough.
function wallKey() {
  const [enough, most] = record.walls;
  const tone = (rgb) => `rgb(${rgb.map((v) => Math.round(255 * coded(v))).join(' ')})`;
  const mm = (v) => `${Number(v.toFixed(2))} mm`;
  const scale = element('div', '', { background: `linear-gradient(to right, ${RAMP.map(tone).join(', ')})` });
  scale.className = 'scale';
  [[0, '0'], [enough, `${mm(enough)}, thick enough`], [most, `${mm(most)} or more`]].forEach(([v, words]) => {
    scale.append(element('span', words, { left: `${100 * v / most}%` }));
  });
  const line = element('li', 'Thickness of the wood: the shortest way through it to a face that looks the other way');
  line.className = 'measure';
  line.append(scale);
  return [line];
}

function showKey(list, way) {
  list.replaceChildren(...way.key());
  list.hidden = list.children.length === 0;
}
