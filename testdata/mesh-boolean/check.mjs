// Cut and fill of ell.toml as booleans of closed meshes, a road that shares nothing
// with Barrow: the ground as a solid, and the space over (and under) the pad with its
// batters as unions of convex hulls. Prints what result.json holds.
//
//   npm install && node check.mjs > result.json
import fs from 'node:fs';
import Delaunator from 'delaunator';
import Module from 'manifold-3d';

const wasm = await Module();
wasm.setup();
const {Manifold, Mesh} = wasm;

// As in ell.toml: the L is two rectangles; level, batters.
const rectangles = [[[-12, -10], [12, -10], [12, 0], [-12, 0]], [[-12, -10], [-2, -10], [-2, 10], [-12, 10]]];
const formation = 20;
const along = {cut: 1.5, fill: 2};
const facets = 1024; // of a whole turn; they touch the cone
const rise = 16; // more than any depth

const spots = fs.readFileSync(new URL('ground.csv', import.meta.url), 'utf8').trim().split('\n').slice(1)
  .map((line) => line.split(',').map(Number));
const {triangles, hull} = Delaunator.from(spots);

function ground() {
  const n = spots.length, base = -100;
  const v = new Float32Array(6 * n);
  spots.forEach(([x, y, z], i) => {
    v.set([x, y, z], 3 * i);
    v.set([x, y, base], 3 * (n + i));
  });
  const f = [];
  for (let k = 0; k < triangles.length; k += 3) {
    let [a, b, c] = triangles.slice(k, k + 3);
    const turn = (spots[b][0] - spots[a][0]) * (spots[c][1] - spots[a][1]) - (spots[b][1] - spots[a][1]) * (spots[c][0] - spots[a][0]);
    if (turn < 0) [b, c] = [c, b];
    f.push(a, b, c, n + a, n + c, n + b);
  }
  const ring = [...hull];
  const area = ring.reduce((s, p, i) => {
    const q = ring[(i + 1) % ring.length];
    return s + spots[p][0] * spots[q][1] - spots[q][0] * spots[p][1];
  }, 0);
  if (area < 0) ring.reverse();
  ring.forEach((p, i) => {
    const q = ring[(i + 1) % ring.length];
    f.push(p, n + p, n + q, p, n + q, q);
  });
  return new Manifold(new Mesh({numProp: 3, vertProperties: v, triVerts: new Uint32Array(f)}));
}

// space is what lies over (up 1) or under (up -1) a convex outline and its batters.
function space(outline, n, up) {
  const points = outline.map(([x, y]) => [x, y, formation]);
  const r = n * rise / Math.cos(Math.PI / facets);
  for (const [x, y] of outline) {
    for (let i = 0; i < facets; i++) {
      const a = (i + 0.5) * 2 * Math.PI / facets;
      points.push([x + r * Math.cos(a), y + r * Math.sin(a), formation + up * rise]);
    }
  }
  return Manifold.hull(points);
}

const earth = ground();
const over = Manifold.union(rectangles.map((p) => space(p, along.cut, 1)));
const under = Manifold.union(rectangles.map((p) => space(p, along.fill, -1)));
const manifold = JSON.parse(fs.readFileSync(new URL('node_modules/manifold-3d/package.json', import.meta.url)));
console.log(JSON.stringify({
  by: `${manifold.name} ${manifold.version}`,
  cut: earth.intersect(over).volume(),
  fill: under.subtract(earth).volume(),
}, null, 2));
process.exit(0);
