// How the creature bends and opens. Each joint turns all that lies behind it about its centre.
const AXES = { sideways: [0, 0, 1], up: [0, -1, 0], wave: [0, 0, 1] };

// Bend of each joint in radians; `part` of its limit, -1 to 1. A wave has one period along the
// chain, or along four joints of a shorter one.
function bends(how, part) {
  const period = Math.max(record.joints.length, 4);
  return record.joints.map((joint, k) => {
    const share = how === 'wave' ? Math.sin(2 * Math.PI * (k + 0.5) / period) : 1;
    return part * share * joint.limit;
  });
}

// Motion of each section out of the straight creature.
function motions(how, part) {
  const all = [NONE];
  bends(how, part).forEach((angle, k) => {
    const turn = turnedAbout(record.joints[k].centre, AXES[how], angle);
    all.push(times(all[k], turn));
  });
  return all;
}

// Outwards from the split face, in the straight creature.
const outwards = (part) => (part.whole ? [0, 0, 0] : part.pose.slice(0, 3).map((row) => row[2]));

// How far each half moves when all is open, mm: the highest half, so that whole sockets show.
let OPEN = 0;
const reopened = () => Math.max(...record.parts.map((part) => box(record.meshes[part.mesh])[1][2])) * 1.1;
OPEN = reopened();

// Motion of each part from its own frame.
function poses(how, part, apart) {
  const moved = motions(how, part);
  return record.parts.map((p) => {
    const out = shifted(scaled(outwards(p), apart * OPEN));
    return times(moved[p.section], times(out, ofRows(p.pose)));
  });
}
