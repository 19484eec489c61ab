// Draws the creature with the graphics card; nothing is drawn but what `draw` is given.
const SUN = unit([-0.45, -0.6, 1.15]);
const MAP = 2048;
// Group of the pins, behind those of the record.
const PIN = record.groups.length;

function program(gl, [vertex, fragment]) {
  const made = gl.createProgram();
  [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]].forEach(([kind, text]) => {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
    gl.attachShader(made, shader);
  });
  ['at', 'normal', 'group', 'measures', 'marks'].forEach((name, k) => gl.bindAttribLocation(made, k, name));
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
  const uniforms = {};
  for (let k = 0; k < gl.getProgramParameter(made, gl.ACTIVE_UNIFORMS); k += 1) {
    const { name } = gl.getActiveUniform(made, k);
    uniforms[name.replace('[0]', '')] = gl.getUniformLocation(made, name);
  }
  return { made, uniforms };
}

function solid(gl, { at, normal, group, measures, marks }) {
  const vao = gl.createVertexArray();
  gl.bindVertexArray(vao);
  const buffers = [];
  [[at, 3, gl.FLOAT], [normal, 3, gl.FLOAT], [group, 1, gl.UNSIGNED_BYTE], [measures, 2, gl.FLOAT], [marks, 4, gl.UNSIGNED_BYTE, true]].forEach(([data, size, type, share], k) => {
    if (!data) return;
    buffers.push(gl.createBuffer());
    gl.bindBuffer(gl.ARRAY_BUFFER, buffers.at(-1));
    gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
    gl.enableVertexAttribArray(k);
    gl.vertexAttribPointer(k, size, type, share === true, 0, 0);
  });
  const drop = () => {
    gl.deleteVertexArray(vao);
    buffers.forEach((own) => gl.deleteBuffer(own));
  };
  return { vao, count: at.length / 3, drop };
}

// A round rod between two places, with 24 sides.
function rod({ ends: [a, b], radius }) {
  const along = unit(plus(b, scaled(a, -1)));
  const u = unit(cross(along, Math.abs(along[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0]));
  const v = cross(along, u);
  const out = { at: [], normal: [] };
  const side = (k) => plus(scaled(u, Math.cos(k * Math.PI / 12)), scaled(v, Math.sin(k * Math.PI / 12)));
  const put = (place, normal) => {
    out.at.push(...place);
    out.normal.push(...normal);
  };
  for (let k = 0; k < 24; k += 1) {
    const [n, m] = [side(k), side(k + 1)];
    const [p, q, r, s] = [[a, n], [a, m], [b, m], [b, n]].map(([end, d]) => plus(end, scaled(d, radius)));
    [[p, n], [q, m], [r, m], [p, n], [r, m], [s, n]].forEach(([place, d]) => put(place, d));
    [b, s, r].forEach((place) => put(place, along));
    [a, q, p].forEach((place) => put(place, scaled(along, -1)));
  }
  return out;
}

// The pins of each section as one solid, in the straight creature.
function pins(gl) {
  const all = [];
  record.pins.forEach((pin) => {
    const own = all[pin.section] || (all[pin.section] = { at: [], normal: [] });
    const made = rod(pin);
    own.at.push(...made.at);
    own.normal.push(...made.normal);
  });
  return all.map((own) => own && solid(gl, {
    at: new Float32Array(own.at),
    normal: new Float32Array(own.normal),
    group: new Uint8Array(own.at.length / 3).fill(PIN),
    measures: new Float32Array(own.at.length / 3 * 2).fill(record.walls[1]),
  }));
}

function depthMap(gl) {
  const texture = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_2D, texture);
  gl.texStorage2D(gl.TEXTURE_2D, 1, gl.DEPTH_COMPONENT24, MAP, MAP);
  [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER].forEach((f) => gl.texParameteri(gl.TEXTURE_2D, f, gl.NEAREST));
  [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T].forEach((w) => gl.texParameteri(gl.TEXTURE_2D, w, gl.CLAMP_TO_EDGE));
  const frame = gl.createFramebuffer();
  gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
  gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.DEPTH_ATTACHMENT, gl.TEXTURE_2D, texture, 0);
  return { texture, frame };
}

function drawer(gl) {
  const [body, plain, sheet, value] = [BODY, PLAIN, SHEET, VALUE].map((text) => program(gl, text));
  // By mesh: one that stays is not unpacked again.
  const solids = new Map();
  let rods = [];
  function renew() {
    [...solids].filter(([mesh]) => !record.meshes.includes(mesh)).forEach(([mesh, own]) => {
      own.drop();
      solids.delete(mesh);
    });
    record.meshes.filter((mesh) => !solids.has(mesh)).forEach((mesh) => solids.set(mesh, solid(gl, unpacked(mesh))));
    rods.forEach((own) => own && own.drop());
    rods = pins(gl);
  }
  renew();
  const ground = solid(gl, { at: new Float32Array([-1, -1, 0, 1, -1, 0, 1, 1, 0, -1, -1, 0, 1, 1, 0, -1, 1, 0]) });
  const map = depthMap(gl);
  gl.enable(gl.DEPTH_TEST);

  // All that is shown: solid, motion, number of its part (0 for pins), seed of its board.
  function shown({ poses: all, motions: moved, hidden }) {
    const list = record.parts
      .map((part, k) => ({ solid: solids.get(record.meshes[part.mesh]), motion: all[k], number: k + 1, seed: (k * 7) % 61 }))
      .filter(({ number }) => !hidden.has(number - 1));
    const torn = new Set([...hidden].map((k) => record.parts[k].section));
    rods.forEach((own, k) => {
      // A pin stands between two halves, not on one.
      if (own && !torn.has(k)) list.push({ solid: own, motion: moved[k], number: 0, seed: 3 });
    });
    return list;
  }

  function each(list, { uniforms }, before) {
    list.forEach((item) => {
      before(item);
      gl.uniformMatrix4fv(uniforms.model, false, item.motion);
      gl.bindVertexArray(item.solid.vao);
      gl.drawArrays(gl.TRIANGLES, 0, item.solid.count);
    });
  }

  function shadows(list, lamp) {
    gl.bindFramebuffer(gl.FRAMEBUFFER, map.frame);
    gl.viewport(0, 0, MAP, MAP);
    gl.clear(gl.DEPTH_BUFFER_BIT);
    gl.useProgram(plain.made);
    gl.uniformMatrix4fv(plain.uniforms.eye, false, lamp);
    each(list, plain, () => {});
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
  }

  function draw(scene) {
    const { canvas } = gl;
    const list = shown(scene);
    shadows(list, scene.lamp);
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.bindTexture(gl.TEXTURE_2D, map.texture);
    gl.useProgram(body.made);
    const u = body.uniforms;
    gl.uniformMatrix4fv(u.eye, false, scene.eye);
    gl.uniformMatrix4fv(u.lamp, false, scene.lamp);
    gl.uniform3fv(u.camera, scene.camera);
    gl.uniform3fv(u.sun, SUN);
    gl.uniform3fv(u.early, record.wood[0]);
    gl.uniform3fv(u.late, record.wood[1]);
    gl.uniform3fv(u.tones, scene.tones.flat());
    gl.uniform1i(u.way, scene.way);
    gl.uniform2f(u.most, record.walls[1], record.left.most);
    gl.uniform3fv(u.ramp, RAMP.flat());
    each(list, body, ({ number, seed }) => {
      gl.uniform1f(u.seed, seed);
      gl.uniform1f(u.picked, number > 0 && number - 1 === scene.picked ? 1 : 0);
    });
    if (scene.camera[2] > scene.ground[2]) lay(scene);
  }

  // The sheet last: it is seen through.
  function lay(scene) {
    gl.useProgram(sheet.made);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    const r = 1.6 * scene.radius;
    const [x, y, z] = scene.ground;
    gl.uniformMatrix4fv(sheet.uniforms.model, false, [r, 0, 0, 0, 0, r, 0, 0, 0, 0, 1, 0, x, y, z, 1]);
    gl.uniformMatrix4fv(sheet.uniforms.eye, false, scene.eye);
    gl.uniformMatrix4fv(sheet.uniforms.lamp, false, scene.lamp);
    gl.uniform1f(sheet.uniforms.strength, scene.dark ? 0.5 : 0.34);
    gl.bindVertexArray(ground.vao);
    gl.drawArrays(gl.TRIANGLES, 0, ground.count);
    gl.disable(gl.BLEND);
  }

  // Colours that a program gives to a pixel from the lower left.
  function pixelOf(own, scene, [x, y], before) {
    const { canvas } = gl;
    const frame = gl.createFramebuffer();
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    const kept = [[gl.RGBA8, gl.COLOR_ATTACHMENT0], [gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT]].map(([form, to]) => {
      const buffer = gl.createRenderbuffer();
      gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
      gl.renderbufferStorage(gl.RENDERBUFFER, form, canvas.width, canvas.height);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, to, gl.RENDERBUFFER, buffer);
      return buffer;
    });
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.enable(gl.SCISSOR_TEST);
    gl.scissor(x, y, 1, 1);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.useProgram(own.made);
    gl.uniformMatrix4fv(own.uniforms.eye, false, scene.eye);
    each(shown(scene), own, before);
    const pixel = new Uint8Array(4);
    gl.readPixels(x, y, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
    gl.disable(gl.SCISSOR_TEST);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.deleteFramebuffer(frame);
    kept.forEach((buffer) => gl.deleteRenderbuffer(buffer));
    return pixel;
  }

  // Index of the part at a pixel; -1 for none.
  function pick(scene, at) {
    const [low, high] = pixelOf(plain, scene, at, ({ number }) => {
      gl.uniform4f(plain.uniforms.number, (number & 255) / 255, (number >> 8) / 255, 0, 1);
    });
    return low + 256 * high - 1;
  }

  // What the way to colour measures at a pixel, mm, to a thousandth; nothing beside the creature, on
  // pins, and on faces of the other set-up.
  function measured(scene, at) {
    gl.useProgram(value.made);
    gl.uniform1i(value.uniforms.way, scene.way);
    const [low, high, marks, hit] = pixelOf(value, scene, at, ({ number }) => {
      gl.uniform1f(value.uniforms.shown, number > 0 ? 1 : 0);
    });
    if (!hit) return null;
    return { mm: (low + 256 * high) / 1000, over: (marks & 1) > 0, hidden: (marks & 2) > 0 };
  }

  return { draw, pick, measured, renew };
}
