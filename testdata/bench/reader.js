// Reads RS-274 programs with a general block reader of others (npm) and prints
// their motions, for the test TestSecondReader and for timing.
//
//   node reader.js --install FOLDER           put the block reader there
//   node reader.js FOLDER PROGRAM...          one JSON line a program:
//                                             {"file", "motions": [[line, G, X, Y, Z, A, F, I, J], ...]}
//   node reader.js FOLDER --time PROGRAM      milliseconds to read its words, best of five
//
// The block reader splits a line into letters and numbers. What holds from
// line to line (NISTIR 6556, 3.4 and 3.6) is kept here, in a way of its own and
// for what we write only: anything else is an error. X, Y, Z, I, J are in the
// program's units, null where the program has not said; F is 0 at rapid.
'use strict';
const fs = require('fs');
const path = require('path');
const {execFileSync} = require('child_process');

const PACKAGE = 'gcode'; // MIT; version and hashes stand in reader/package-lock.json

function install(folder) {
  fs.mkdirSync(folder, {recursive: true});
  for (const name of ['package.json', 'package-lock.json'])
    fs.copyFileSync(path.join(__dirname, 'reader', name), path.join(folder, name));
  const windows = process.platform === 'win32';
  execFileSync(windows ? 'npm.cmd' : 'npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund'],
    {cwd: folder, stdio: 'inherit', shell: windows});
}

// Its grammar takes one line without comments and blanks.
function wordsOf(parser, line) {
  const bare = line.replace(/\([^()]*\)/g, '').replace(/\s/g, '');
  return bare === '' || bare === '%' ? [] : parser.parse(bare).words;
}

const SETTINGS = new Set([17, 40, 49, 54, 80, 90, 94, 20, 21, 43, 98, 99, 61, 64]);
const CYCLES = new Set([81, 82, 83]);

function motionsOf(parser, text) {
  const at = {X: null, Y: null, Z: null, A: 0};
  let feed = 0;
  let mode = null;
  let back = null; // R of a cycle
  let bottom = null; // Z of a cycle
  let step = null; // Q of G83
  let inch = false;
  const motions = [];
  const move = (line, g, to, i = null, j = null) => {
    Object.assign(at, to);
    motions.push([line, g, at.X, at.Y, at.Z, at.A, g === 0 ? 0 : feed, i, j]);
  };
  const lines = text.split(/\r?\n/);
  for (let n = 1; n <= lines.length; n++) {
    const words = wordsOf(parser, lines[n - 1]);
    const value = {};
    const gs = [];
    for (const [letter, number] of words) {
      if (typeof number !== 'number') throw new Error(`line ${n}: ${letter} is no number`);
      if (letter === 'G') gs.push(number);
      else if (letter !== 'M') value[letter] = number;
      else if (number === 2 || number === 30) return motions;
    }
    if ('F' in value) feed = value.F;
    let dwell = false;
    for (const g of gs) {
      if ([0, 1, 2, 3].includes(g) || CYCLES.has(g)) {
        if (!CYCLES.has(g) || mode !== g) back = bottom = null;
        mode = g;
      } else if (g === 4) dwell = true;
      else if (!SETTINGS.has(g)) throw new Error(`line ${n}: G${g} is not known here`);
      else if (g === 80) mode = null;
      else if (g === 20 || g === 21) inch = g === 20;
    }
    const to = {};
    for (const axis of 'XYZA') if (axis in value) to[axis] = value[axis];
    if (dwell || Object.keys(to).length === 0) continue;
    if (mode === null) throw new Error(`line ${n}: axis words without a motion`);
    if (CYCLES.has(mode)) {
      if ('R' in value) back = value.R;
      if ('Z' in value) bottom = value.Z;
      cycle(n, value, to);
    } else move(n, mode, to, 'I' in value ? value.I : null, 'J' in value ? value.J : null);
  }
  throw new Error('no end of program');

  // One hole (3.5.16): over it, down to R, drilling, out to R. A G83 drills by
  // steps of Q, from R down; between them out to R and back to just above the
  // last depth (3.5.16.4).
  function cycle(n, value, to) {
    if (at.Z < back) move(n, 0, {Z: back});
    const over = {};
    for (const axis of 'XY') if (axis in to && to[axis] !== at[axis]) over[axis] = to[axis];
    if (Object.keys(over).length > 0) move(n, 0, over);
    if (at.Z !== back) move(n, 0, {Z: back});
    if (mode === 83) {
      if ('Q' in value) step = value.Q;
      for (let k = 1; back - k * step > bottom + 1e-9; k++) {
        const depth = back - k * step;
        move(n, mode, {Z: depth});
        move(n, 0, {Z: back});
        move(n, 0, {Z: Math.min(back, depth + (inch ? 0.01 : 0.254))});
      }
    }
    move(n, mode, {Z: bottom});
    move(n, 0, {Z: back});
  }
}

function main(args) {
  if (args[0] === '--install') return install(args[1]);
  const parser = require(path.resolve(args[0], 'node_modules', PACKAGE, 'parser.js'));
  if (args[1] === '--time') {
    const lines = fs.readFileSync(args[2], 'utf8').split('\n');
    let best = Infinity;
    for (let k = 0; k < 5; k++) {
      const began = process.hrtime.bigint();
      for (const line of lines) wordsOf(parser, line);
      best = Math.min(best, Number(process.hrtime.bigint() - began) / 1e6);
    }
    console.log(best.toFixed(2));
    return;
  }
  for (const file of args.slice(1)) {
    let motions;
    try {
      motions = motionsOf(parser, fs.readFileSync(file, 'utf8'));
    } catch (e) {
      throw new Error(`${file}: ${e.message}`);
    }
    console.log(JSON.stringify({file, motions}));
  }
}

main(process.argv.slice(2));
