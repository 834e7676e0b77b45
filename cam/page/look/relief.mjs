// The foam in relief: depth in the job's one ramp, lit from the upper left at an angle that
// makes a shadow about a quarter as long as the pocket is deep.

const lights = 17; // levels, the middle one is the colour itself
const steepness = 3.6; // mm down for each mm along the light's way
const throughMM = 0.02;

export class Relief {
  // colours: ramp (shallow to deep), foam, ink and white, as #rrggbb.
  /** @param {Look.Colours} colours @param {number} deepestMM */
  constructor(colours, deepestMM) {
    this.steps = colours.ramp.length;
    this.perMM = this.steps / deepestMM;
    const [ink, white] = [numbers(colours.ink), numbers(colours.white)];
    this.table = new Uint32Array((this.steps + 1) * lights);
    [colours.foam, ...colours.ramp].forEach((colour, i) => {
      for (let l = 0; l < lights; l++) {
        const t = l / (lights - 1) - 0.5;
        const c = t < 0 ? mixed(numbers(colour), ink, -t * 1.1) : mixed(numbers(colour), white, t * 1.3);
        this.table[i * lights + l] = (255 << 24) | (c[2] << 16) | (c[1] << 8) | c[0];
      }
    });
  }

  // paint puts rows of a field into an image of its size, the field's lowest row at the bottom.
  // view: depth, thickMM, hatch (whether foam that is cut through is hatched), inside (cells
  // of the sheet itself, or null) and bare (whether what lies beside it is gone).
  /** @param {ImageData} image @param {{columns: number, rows: number, cell: number}} field @param {Look.View} view @param {Look.Point} rows */
  paint(image, field, view, [r0, r1]) {
    const pixels = new Uint32Array(image.data.buffer);
    const { columns, rows, cell } = field;
    const drop = steepness * cell * Math.SQRT2;
    const reach = Math.ceil(view.deepestMM / drop) + 1;
    const [top, bottom] = [Math.min(rows, r1 + reach), Math.max(0, r0 - reach)];
    let before = new Float32Array(columns).fill(-Infinity);
    let sun = new Float32Array(columns);
    for (let row = top - 1; row >= bottom; row--) {
      const base = row * columns;
      const out = (rows - 1 - row) * columns;
      for (let c = 0; c < columns; c++) {
        const beside = row + 1 < rows && c > 0 ? -view.depth[base + columns + c - 1] : 0;
        const z = -view.depth[base + c];
        const horizon = (c > 0 ? Math.max(before[c - 1], beside) : 0) - drop;
        sun[c] = horizon;
        if (row >= r1) continue;
        pixels[out + c] = this.pixel(view, base + c, z, horizon, beside, row + c, drop);
      }
      [before, sun] = [sun, before];
    }
  }

  /** @param {Look.View} view @param {number} cell @param {number} z @param {number} horizon @param {number} beside @param {number} diagonal @param {number} drop */
  pixel(view, cell, z, horizon, beside, diagonal, drop) {
    const inside = view.inside === null || view.inside[cell] === 1;
    if (!inside && view.bare) return 0;
    const depth = -z;
    let light = (lights - 1) / 2;
    if (horizon > z) light -= Math.min(5, 1 + (horizon - z) / drop);
    else if (z - beside > 0.4) light += depth < 0.02 ? 6 : 3;
    if (view.hatch && depth >= view.thickMM - throughMM && (diagonal >> 1) % 9 < 2) light += 4;
    const step = depth < 0.01 ? 0 : 1 + Math.min(this.steps - 1, Math.floor(depth * this.perMM));
    const pixel = this.table[step * lights + Math.max(0, Math.min(lights - 1, Math.round(light)))];
    return inside ? pixel : (pixel & 0xffffff) | (110 << 24);
  }
}

/** @param {string} colour */
function numbers(colour) {
  return [1, 3, 5].map((i) => parseInt(colour.slice(i, i + 2), 16));
}

/** @param {number[]} a @param {number[]} b @param {number} t */
function mixed(a, b, t) {
  return a.map((v, i) => Math.round(v + (b[i] - v) * Math.min(1, t)));
}
