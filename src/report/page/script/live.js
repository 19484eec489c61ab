// Puts what is new in the place of what is shown: bend, view and choices stay.
const CHECKED = ['findings', 'fits', 'machine'];

// The creature of another record. Meshes that are equal stay, so that they are not unpacked again.
function adopt(next) {
  const name = (k) => record.parts[k].name;
  const picked = state.picked < 0 ? '' : name(state.picked);
  const hidden = new Set([...state.hidden].map(name));
  const spot = eye.place < 0 ? null : record.places[eye.place];
  const at = spot && name(spot.part);
  const same = (a, b) => ['places', 'corners', 'walls'].every((key) => a[key] === b[key])
    && `${a.left}|${a.low}|${a.step}|${a.runs}` === `${b.left}|${b.low}|${b.step}|${b.runs}`;
  const walls = `${record.walls}` === `${next.walls}`;
  const old = record.meshes;
  record = { ...next, meshes: next.meshes.map((mesh) => (walls && old.find((own) => same(own, mesh))) || mesh) };
  OPEN = reopened();
  state.hidden = new Set(record.parts.map((_, k) => k).filter((k) => hidden.has(name(k))));
  state.picked = record.parts.findIndex((part) => part.name === picked);
  if (spot) {
    const again = record.places.findIndex((own) => own.check === spot.check && name(own.part) === at);
    if (again < 0) leavePlace();
    else eye.place = again;
  }
  if (drawn) drawn.renew();
}

// What the new lists must show of what was chosen.
function rechosen() {
  all('[data-shown]').forEach((box) => { box.checked = !state.hidden.has(Number(box.dataset.shown)); });
  all('[data-pick]').forEach((b) => b.setAttribute('aria-pressed', String(Number(b.dataset.pick) === state.picked)));
  ['hide', 'alone'].forEach((id) => { $(id).disabled = state.picked < 0; });
  all('[data-place]').forEach((b) => {
    if (Number(b.dataset.place) === eye.place) b.setAttribute('aria-current', 'true');
  });
}

// Lists that only the checks can fill stay as they were until the checks are done.
function relisted(page) {
  const open = new Set(all('details[open] > summary').map((own) => own.textContent));
  const before = new Map(CHECKED.map((id) => [id, $(id)]));
  const at = scrollY;
  $('front').outerHTML = page.front;
  $('rest').innerHTML = page.rest;
  if (!page.checked) {
    before.forEach((own, id) => {
      if (!own || !$(id)) return;
      own.dataset.stale = '';
      own.querySelectorAll('button').forEach((b) => b.remove());
      $(id).replaceWith(own);
    });
  }
  all('details > summary').forEach((own) => { own.parentElement.open = open.has(own.textContent); });
  document.title = document.querySelector('h1').textContent;
  scrollTo({ top: at, behavior: 'instant' });
}

function told(page) {
  const moved = eye.zoom !== 1 || eye.pan.some((v) => v !== 0);
  const place = eye.place;
  adopt(page.record);
  relisted(page);
  rechosen();
  if (page.picture) $('stand-in').src = `data:image/png;base64,${page.picture}`;
  showState(page.checked ? '' : 'Shown; being checked');
  if (!drawn) return;
  offered();
  $('bend').disabled = !record.joints.length;
  // Words and scales anew; the eye steps back only if nobody has brought it nearer.
  const kept = { ...eye };
  bendTo(state.bend);
  openTo(state.apart);
  if (moved && place === eye.place) Object.assign(eye, kept);
  soon();
}

follow(told);
