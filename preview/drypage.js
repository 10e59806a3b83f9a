(() => {
  const programs = [...document.querySelectorAll('script.program')].map((e) => JSON.parse(e.textContent));
  const get = (id) => document.getElementById(id);
  if (!programs.length) return;
  const svg = (name, attributes) => {
    const e = document.createElementNS('http://www.w3.org/2000/svg', name);
    for (const k in attributes) e.setAttribute(k, attributes[k]);
    return e;
  };
  const section = get('section'), side = get('side');
  let number = 0, program = programs[0], at = 0;
  // The parts of a view that change from block to block.
  const gear = svg('g', {}), still = svg('use', {}), stock = svg('path', { class: 'stock' }), cutter = svg('use', {});
  const sideCutter = svg('use', {}), cut = svg('path', { class: 'cut' }), quick = svg('path', { class: 'quick' });

  const passOf = (n) => {
    let k = 0;
    while (k + 1 < program.passes.length && program.passes[k + 1].block <= n) k++;
    return k;
  };
  const length = (hundredths, shift) => {
    const mm = hundredths / 100 - shift;
    const v = (program.inch ? mm / 25.4 : mm).toFixed(program.decimals === 4 ? 3 : 2);
    return v.replace(/^-(0[.]0+)$/, '$1').replace('-', '−');
  };

  // The section's window goes along with the tooth nearest the top.
  const follow = (angle) => {
    const w = [...program.window];
    if (program.teeth.length) {
      const away = program.teeth.map((t) => t + angle).sort((a, b) => Math.abs(a) - Math.abs(b))[0] * Math.PI / 180;
      w[0] += program.radius * Math.sin(away);
      w[1] += program.radius * (1 - Math.cos(away));
    }
    return w.join(' ');
  };

  const choose = (n) => {
    number = n;
    program = programs[n];
    get('program').selectedIndex = n;
    get('pass').replaceChildren(...program.passes.map((p, i) => new Option(p.name || 'from the start', i)));
    get('at').max = program.blocks.length - 1;
    side.setAttribute('viewBox', program.side.window.join(' '));
    gear.replaceChildren(still, stock);
    const reach = 40000;
    section.replaceChildren(gear, ...program.keepouts.map((d) => svg('path', { class: 'keep', d })), cutter,
      svg('path', { class: 'centre', d: `M0 ${-reach}L0 ${reach}` }));
    side.replaceChildren(...program.side.parts.map((p) => svg('path', { class: p.c, d: p.d })), quick, cut, sideCutter);
    show(0);
  };

  const show = (n) => {
    at = Math.max(0, Math.min(program.blocks.length - 1, n));
    const b = program.blocks[at];
    const k = passOf(at);
    still.setAttribute('href', `#p${number}-${b.s}`);
    stock.setAttribute('d', program.shapes[b.w]);
    section.setAttribute('viewBox', follow(b.a));
    gear.setAttribute('transform', `rotate(${b.a})`);
    for (const e of [cutter, sideCutter]) e.setAttribute('href', `#t${number}-${b.t}`);
    cutter.setAttribute('transform', `translate(${b.p[1]} ${b.p[2]})`);
    sideCutter.setAttribute('transform', `translate(${b.p[0]} ${b.p[2]})`);
    let fed = '', rapid = '';
    for (let i = Math.max(1, program.passes[k].block); i <= at; i++) {
      const from = program.blocks[i - 1].p, to = program.blocks[i].p;
      const d = `M${from[0]} ${from[2]}L${to[0]} ${to[2]}`;
      if (program.blocks[i].k) fed += d; else rapid += d;
    }
    cut.setAttribute('d', fed);
    quick.setAttribute('d', rapid);
    get('section-name').textContent = `Section at X ${program.places[b.s].x}, seen from +X, as the machine stands`;
    get('pass').selectedIndex = k;
    get('at').value = at;
    const unit = program.inch ? ' in' : ' mm';
    const words = [`${at + 1} of ${program.blocks.length}`, ['rapid', 'cut', 'arc'][b.k],
      `T${b.t} ${(program.tools[b.t] || { name: '' }).name.replace(/^T\d+ /, '')}`,
      `X ${length(b.p[0], 0)}  Y ${length(b.p[1], 0)}  Z ${length(-b.p[2], program.shift)}${unit}`];
    if (program.turns) {
      const a = (program.sign ? program.sign * b.a : b.a).toFixed(4).replace('-', '−');
      words.push(program.sign ? `A ${a}°` : `gear at ${a}°, set by hand`);
    }
    words.push(`metal left here: ${b.m}`);
    get('now').replaceChildren(...words.map((w) => Object.assign(document.createElement('span'), { textContent: w })));
    const first = Math.max(1, b.l - 6);
    const lines = [];
    for (let i = first; i <= Math.min(program.lines.length, first + 11); i++) {
      const e = document.createElement(i === b.l ? 'b' : 'span');
      e.textContent = `${String(i).padStart(4)}  ${program.lines[i - 1]}`;
      lines.push(e);
    }
    get('text').replaceChildren(...lines);
  };

  const pass = (step) => {
    const k = passOf(at), start = program.passes[k].block;
    if (step < 0) return show(at > start || k === 0 ? start : program.passes[k - 1].block);
    return show(k + 1 < program.passes.length ? program.passes[k + 1].block : program.blocks.length - 1);
  };
  get('back').onclick = () => show(at - 1);
  get('on').onclick = () => show(at + 1);
  get('pass-back').onclick = () => pass(-1);
  get('pass-on').onclick = () => pass(1);
  get('program').onchange = (e) => choose(e.target.selectedIndex);
  get('pass').onchange = (e) => show(program.passes[e.target.selectedIndex].block);
  get('at').oninput = (e) => show(Number(e.target.value));
  document.addEventListener('keydown', (e) => {
    if (e.altKey || e.ctrlKey || e.metaKey || e.target.tagName === 'SELECT' || e.target.tagName === 'INPUT') return;
    const act = { ArrowRight: () => show(at + 1), ArrowLeft: () => show(at - 1), ArrowDown: () => pass(1), ArrowUp: () => pass(-1),
      Home: () => show(0), End: () => show(program.blocks.length - 1) }[e.key];
    if (act) { act(); e.preventDefault(); }
  });
  // A swipe to the left goes on, as a page is turned.
  for (const e of [section, side]) {
    let from = null;
    e.addEventListener('pointerdown', (p) => { from = p.clientX; });
    e.addEventListener('pointerup', (p) => {
      if (from !== null && Math.abs(p.clientX - from) > 30) show(at + (p.clientX < from ? 1 : -1));
      from = null;
    });
    e.addEventListener('pointercancel', () => { from = null; });
  }
  get('viewer').hidden = false;
  get('sequence').style.display = 'none';
  // A link may name a program and a block: #2:40.
  const named = /^#([0-9]+):([0-9]+)$/.exec(window.location.hash);
  choose(named ? Math.min(programs.length - 1, Number(named[1])) : 0);
  if (named) show(Number(named[2]) - 1);
})();
