// The record, and its meshes ready to draw. Whoever shows files that change puts another one in its
// place (`adopt`).
let record = JSON.parse(document.getElementById('record').textContent);

function bytes(text) {
  const plain = atob(text);
  const out = new Uint8Array(plain.length);
  for (let k = 0; k < plain.length; k += 1) out[k] = plain.charCodeAt(k);
  return out.buffer;
}

// Places in mm; the record is of low byte first, as all machines with a browser are.
function places(mesh) {
  const steps = new Uint16Array(bytes(mesh.places));
  return Float32Array.from(steps, (v, k) => mesh.low[k % 3] + v * mesh.step[k % 3]);
}

// Facets that meet at more than 35 degrees keep their edge.
const CREASE = Math.cos(35 * Math.PI / 180);

// Triangles as corners of their own: place, normal and group of each.
function unpacked(mesh) {
  const at = places(mesh);
  const corners = mesh.wide ? new Uint32Array(bytes(mesh.corners)) : new Uint16Array(bytes(mesh.corners));
  const count = corners.length / 3;
  const facets = new Float32Array(corners.length);
  const units = new Float32Array(corners.length);
  for (let t = 0; t < count; t += 1) {
    const [a, b, c] = [0, 1, 2].map((k) => 3 * corners[3 * t + k]);
    const u = [at[b] - at[a], at[b + 1] - at[a + 1], at[b + 2] - at[a + 2]];
    const v = [at[c] - at[a], at[c + 1] - at[a + 1], at[c + 2] - at[a + 2]];
    const n = cross(u, v);
    facets.set(n, 3 * t);
    units.set(unit(n), 3 * t);
  }
  const { starts, round } = triangles(corners, at.length / 3);
  const out = { at: new Float32Array(3 * corners.length), normal: new Float32Array(3 * corners.length) };
  for (let k = 0; k < corners.length; k += 1) {
    const own = 3 * Math.floor(k / 3);
    const corner = corners[k];
    let [x, y, z] = [0, 0, 0];
    for (let i = starts[corner]; i < starts[corner + 1]; i += 1) {
      const t = 3 * round[i];
      const near = units[t] * units[own] + units[t + 1] * units[own + 1] + units[t + 2] * units[own + 2];
      if (near >= CREASE) {
        x += facets[t];
        y += facets[t + 1];
        z += facets[t + 2];
      }
    }
    const n = x || y || z ? unit([x, y, z]) : [units[own], units[own + 1], units[own + 2]];
    out.at.set(at.subarray(3 * corner, 3 * corner + 3), 3 * k);
    out.normal.set(n, 3 * k);
  }
  out.group = new Uint8Array(corners.length);
  // Each group first as the first set-up cuts it, then as the second does.
  const side = new Uint8Array(corners.length);
  let done = 0;
  mesh.runs.forEach((run, k) => {
    out.group.fill(Math.floor(k / 2), 3 * done, 3 * (done + run));
    side.fill(k % 2, 3 * done, 3 * (done + run));
    done += run;
  });
  measure(mesh, corners, side, out);
  return out;
}

// Wood and what is left of it at each corner, mm; the set-up that cuts it, and whether
// what is left is known; faults, hidden places.
function measure(mesh, corners, side, out) {
  const walls = new Uint8Array(bytes(mesh.walls));
  const left = mesh.left && mesh.left.map((text) => new Uint16Array(bytes(text)));
  out.measures = new Float32Array(2 * corners.length);
  out.marks = new Uint8Array(4 * corners.length);
  for (let k = 0; k < corners.length; k += 1) {
    out.measures[2 * k] = walls[corners[k]] / 255 * record.walls[1];
    const found = left ? left[side[k]][corners[k]] : 0;
    out.measures[2 * k + 1] = (found & LEFT) / 1000;
    out.marks[4 * k] = found & OVER ? 255 : 0;
    out.marks[4 * k + 1] = found & HIDDEN ? 255 : 0;
    out.marks[4 * k + 2] = side[k] ? 255 : 0;
    out.marks[4 * k + 3] = left ? 255 : 0;
  }
}
// What is left in thousandths of a mm, and two signs over it.
const LEFT = 0x3fff;
const HIDDEN = 0x4000;
const OVER = 0x8000;

// Triangles round each corner: corner i has those from starts[i] to starts[i + 1].
function triangles(corners, count) {
  const starts = new Uint32Array(count + 1);
  for (const c of corners) starts[c + 1] += 1;
  for (let i = 0; i < count; i += 1) starts[i + 1] += starts[i];
  const next = starts.slice();
  const round = new Uint32Array(corners.length);
  corners.forEach((c, k) => {
    round[next[c]] = Math.floor(k / 3);
    next[c] += 1;
  });
  return { starts, round };
}

// Least and greatest places of a mesh.
const box = (mesh) => [mesh.low, plus(mesh.low, scaled(mesh.step, 65535))];
