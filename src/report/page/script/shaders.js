// Programs of the graphics card. Light is linear until the last line.
const GRAIN = `
float hash(vec3 p) {
  p = fract(p * vec3(0.1031, 0.1030, 0.0973));
  p += dot(p, p.yxz + 33.33);
  return fract((p.x + p.y) * p.z);
}
float noise(vec3 p) {
  vec3 i = floor(p);
  vec3 f = fract(p);
  f = f * f * (3.0 - 2.0 * f);
  vec2 e = vec2(0.0, 1.0);
  return mix(
    mix(mix(hash(i), hash(i + e.yxx), f.x), mix(hash(i + e.xyx), hash(i + e.yyx), f.x), f.y),
    mix(mix(hash(i + e.xxy), hash(i + e.yxy), f.x), mix(hash(i + e.xyy), hash(i + e.yyy), f.x), f.y),
    f.z);
}
// Share of late wood: year rings round a pith far below, and fibres along x.
float grain(vec3 p, float seed) {
  vec2 pith = vec2(55.0 * (hash(vec3(seed, 1.0, 2.0)) * 0.7 - 0.35), 55.0);
  vec3 q = p + 91.7 * seed;
  float bend = 5.0 * (noise(q / vec3(70.0, 40.0, 40.0)) - 0.5)
    + 1.2 * (noise(q / vec3(18.0, 9.0, 9.0)) - 0.5);
  float t = fract(length(p.yz + pith) / 3.2 + bend);
  float wide = fwidth(length(p.yz + pith) / 3.2 + bend);
  float ring = t < 0.85 ? pow(t / 0.85, 3.0) : 1.0 - smoothstep(0.85, 1.0, t);
  float seen = clamp(0.6 / max(wide, 0.001) - 0.6, 0.0, 1.0);
  float fibre = noise(q / vec3(16.0, 0.5, 0.5));
  float fine = clamp(0.25 / max(fwidth(q.y) + fwidth(q.z), 0.001) - 0.3, 0.0, 1.0);
  return clamp(0.35 + seen * (0.62 * ring - 0.22) + fine * 0.3 * (fibre - 0.5), 0.0, 1.0);
}`;

const SHADOW = `
float lit(sampler2D map, vec4 from) {
  vec3 p = from.xyz / from.w * 0.5 + 0.5;
  if (any(lessThan(p, vec3(0.0))) || any(greaterThan(p, vec3(1.0)))) return 1.0;
  vec2 texel = 1.6 / vec2(textureSize(map, 0));
  float sum = 0.0;
  for (int k = 0; k < 16; k += 1) {
    float r = sqrt((float(k) + 0.5) / 16.0) * 3.0;
    float a = float(k) * 2.399963;
    sum += step(p.z - 0.0016, texture(map, p.xy + r * texel * vec2(cos(a), sin(a))).r);
  }
  return sum / 16.0;
}
vec3 shown(vec3 light) {
  return mix(12.92 * light, 1.055 * pow(light, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, light));
}`;

const BODY = [`#version 300 es
in vec3 at;
in vec3 normal;
in float group;
in vec2 measures;
in vec4 marks;
uniform mat4 model, eye, lamp;
out vec3 own, facing, place;
out vec4 sign;
out vec4 lamped;
flat out int kind;
out vec2 depth;
void main() {
  vec4 p = model * vec4(at, 1.0);
  own = at;
  place = p.xyz;
  facing = mat3(model) * normal;
  lamped = lamp * p;
  kind = int(group + 0.5);
  depth = measures;
  sign = marks;
  gl_Position = eye * p;
}`, `#version 300 es
precision highp float;
precision highp sampler2D;
in vec3 own, facing, place;
in vec4 lamped, sign;
flat in int kind;
in vec2 depth;
uniform vec3 early, late, sun, camera;
uniform float seed, picked;
uniform vec2 most;
uniform int way;
uniform vec3 tones[8], ramp[9];
uniform sampler2D shadow;
out vec4 colour;
${GRAIN}${SHADOW}
void main() {
  vec3 n = normalize(facing);
  vec3 base = tones[kind];
  // Read off a scale; what the other set-up cuts is not.
  bool scaled = way == 2 || way > 2 && kind < 7 && sign.w > 0.5 && (sign.z > 0.5) == (way == 4);
  if (scaled) {
    float share = way == 2 ? depth.x / most.x : 1.0 - depth.y / most.y;
    float t = clamp(share, 0.0, 1.0) * 8.0;
    int k = min(int(t), 7);
    base = mix(ramp[k], ramp[k + 1], t - float(k));
  }
  if (way == 0) {
    base = mix(early, late, grain(own, seed)) * (0.9 + 0.14 * hash(vec3(seed, 5.0, 6.0)));
    if (kind == 2 || kind == 3) base *= vec3(0.88, 0.81, 0.74);
    if (kind == 6) base *= 0.45;
  }
  float sky = 0.5 + 0.5 * n.z;
  vec3 ambient = mix(vec3(0.25, 0.23, 0.22), vec3(0.54, 0.56, 0.61), sky);
  float direct = max(dot(n, sun), 0.0) * lit(shadow, lamped + vec4(0.0));
  vec3 to = normalize(camera - place);
  float gloss = pow(max(dot(n, normalize(sun + to)), 0.0), 40.0) * 0.05 * step(0.01, direct);
  float rim = pow(1.0 - max(dot(n, to), 0.0), 3.0);
  vec3 light = base * (ambient + vec3(0.74, 0.71, 0.67) * direct) * (1.0 - 0.35 * rim) + gloss;
  // A tone that is read off a scale keeps its light, whichever way it faces.
  if (scaled) light = base * (0.84 + 0.16 * max(dot(n, to), 0.0));
  if (scaled && way > 2) {
    vec2 across = mod(vec2(gl_FragCoord.x + gl_FragCoord.y, gl_FragCoord.x - gl_FragCoord.y), 9.0);
    bool line = sign.x > 0.5 && across.x < 2.5 || sign.y > 0.5 && (across.x < 2.5 || across.y < 2.5);
    if (line) light = vec3(0.36, 0.07, 0.03);
  }
  light = mix(light, vec3(0.55, 0.16, 0.06), picked * (0.22 + 0.5 * rim));
  colour = vec4(shown(min(light, 1.0)), 1.0);
}`];

// Depth from the lamp, or the number of a part.
const PLAIN = [`#version 300 es
in vec3 at;
uniform mat4 model, eye;
void main() { gl_Position = eye * model * vec4(at, 1.0); }`, `#version 300 es
precision highp float;
uniform vec4 number;
out vec4 colour;
void main() { colour = number; }`];

// What is measured, in thousandths of a mm: two bytes, low first, then signs.
const VALUE = [`#version 300 es
in vec3 at;
in vec2 measures;
in vec4 marks;
uniform mat4 model, eye;
out vec2 depth;
out vec4 sign;
void main() {
  depth = measures;
  sign = marks;
  gl_Position = eye * model * vec4(at, 1.0);
}`, `#version 300 es
precision highp float;
in vec2 depth;
in vec4 sign;
uniform float shown;
uniform int way;
out vec4 colour;
void main() {
  bool has = shown > 0.5 && (way == 2 || way > 2 && sign.w > 0.5 && (sign.z > 0.5) == (way == 4));
  float steps = floor(1000.0 * (way == 2 ? depth.x : depth.y) + 0.5);
  float bits = way > 2 ? step(0.5, sign.x) + 2.0 * step(0.5, sign.y) : 0.0;
  colour = has ? vec4(mod(steps, 256.0), floor(steps / 256.0), bits, 255.0) / 255.0 : vec4(0.0);
}`];

// The sheet that the creature lies on: only its shadow shows.
const SHEET = [`#version 300 es
in vec3 at;
uniform mat4 model, eye, lamp;
out vec4 lamped;
out vec2 from;
void main() {
  vec4 p = model * vec4(at, 1.0);
  from = at.xy;
  lamped = lamp * p;
  gl_Position = eye * p;
}`, `#version 300 es
precision highp float;
precision highp sampler2D;
in vec4 lamped;
in vec2 from;
uniform sampler2D shadow;
uniform float strength;
out vec4 colour;
${SHADOW}
void main() {
  float dark = (1.0 - lit(shadow, lamped)) * strength * smoothstep(1.0, 0.6, length(from));
  colour = vec4(0.0, 0.0, 0.0, dark);
}`];
