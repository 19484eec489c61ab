// Ways to colour. Each has a name, whether it is wood, and a key of colours; a colouring by a measure
// at each corner would be one more, with its ramp and scale as key.
const light = (hex) => [1, 3, 5].map((k) => {
  const v = parseInt(hex.slice(k, k + 2), 16) / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
});

// Tones of the groups of faces, told apart by light and dark too (by eye), and of the pins.
const TONES = ['#cdb98f', '#f3ead6', '#a8492f', '#3d6a80', '#20303a', '#d39b2c', '#6b4a6e', '#8a8f5a'];
const NAMES = [...record.groups, 'pins'];

const COLOURINGS = [
  { name: 'wood', wooden: true, tones: TONES.map(() => record.wood[0]), key: [] },
  { name: 'kind of face', wooden: false, tones: TONES.map(light), key: TONES.map((tone, k) => [tone, NAMES[k]]) },
];

// Groups that the creature has.
const had = NAMES.map((_, k) => (k === PIN
  ? record.pins.length > 0
  : record.meshes.some((mesh) => mesh.runs[k] > 0)));

function showKey(list, colouring) {
  list.replaceChildren(...colouring.key.filter((_, k) => had[k]).map(([tone, name]) => {
    const line = document.createElement('li');
    const patch = document.createElement('i');
    patch.style.background = tone;
    line.append(patch, name);
    return line;
  }));
  list.hidden = list.children.length === 0;
}
