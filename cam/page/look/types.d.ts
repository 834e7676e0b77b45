// What the page reads, for the checker of types alone: the browser never sees this file. The scene is as
// cam/page writes it, the answers are as `traywright look` gives them; TestTheScenesTypesAreTheProgram
// and TestTheAnswersTypesAreTheProgram hold each field's name against the program.

declare namespace Look {
  type Point = [number, number];
  type Box = [number, number, number, number]; // left, bottom, right, top
  type Fact = [string, string];

  interface Scene {
    deepest_mm: number;
    deepest: string;
    ramp: string[];
    cases: Case[];
    trays: Tray[];
    setups: Setup[];
    stock: Sheet[];
  }
  interface Case {
    name: string;
    facts: Fact[];
    room_mm: number;
    long_mm: number;
    trays: number[][];
    heights_mm: number[];
  }
  interface Tray {
    id: string;
    name: string;
    facts: Fact[];
    layers: Layer[];
    outline: string;
    box: Box;
    holes: [number, number, number][];
    pockets: Pocket[];
    marks: Mark[];
  }
  interface Layer {
    name: string;
    thick_mm: number;
  }
  // Whatever can be chosen on a tray.
  interface Thing {
    name: string;
    at: string;
    path: string;
    box: Box;
    depth_mm: number;
    facts: Fact[];
  }
  interface Pocket extends Thing {
    depth: string;
    plug: boolean;
    light: boolean;
    play?: Play;
  }
  interface Play {
    hole: Point;
    piece: Point;
    round: boolean;
    words: string;
  }
  interface Mark extends Thing {
    ways: string;
    wide_mm: number;
    colour: string;
  }
  interface Setup {
    foam: string;
    parts: Point[]; // tray, and layer
    board?: Tray;
    top_mm: number;
    thick_mm: number;
    last: boolean;
    field: Field;
    programs: Program[];
  }
  interface Field {
    x: number;
    y: number;
    cell_mm: number;
    columns: number;
    rows: number;
  }
  interface Program {
    path: string;
    time: string;
    seconds: number;
    beam: boolean;
    z_top_mm: number;
    z_sign: number;
    scale: Point;
    lean: number;
    blades: Record<number, Blade[]>;
    bands: Band[];
    ends: number[];
    deep: Point[];
    removed_mm3: number;
  }
  interface Blade {
    to_mm: number;
    radius_mm: number;
  }
  interface Band {
    name: string;
    tool: number;
    tool_name: string;
    from: number;
    to: number;
    first: number;
    pockets: number[];
    falls?: string;
    falls_mm?: number;
  }

  interface Sheet {
    head: string;
    size_mm: Point;
    parts: Laid[];
    kept: Laid[];
    cuts: SawCut[];
    zero?: Point;
    arrow?: string;
    says: string[];
  }
  interface Laid {
    mark: string;
    name: string;
    path: string;
    box: Box;
    corner?: Point;
  }
  interface SawCut {
    from: Point;
    to: Point;
    at: string;
  }

  // A move of a program, and what Player knows of it.
  interface Move {
    line: number;
    rapid: boolean;
    on: boolean;
    ccw: boolean;
    x0: number;
    y0: number;
    z0: number;
    x1: number;
    y1: number;
    z1: number;
    centre: Point | null;
  }
  interface Arc extends Move {
    centre: Point;
  }
  interface Played extends Move {
    end: number;
    blade: Blade[];
    beam: number | null;
    lean: number;
  }
  interface Place {
    x: number;
    y: number;
    z: number;
  }

  interface About {
    zTop: number;
    zSign: number;
    scale: Point;
  }
  interface Axes {
    X: number | null;
    Y: number | null;
    Z: number | null;
  }
  // What a program has said so far.
  interface Said {
    mode: number;
    inch: number;
    absolute: boolean;
    spin: boolean;
    power: number;
    at: Axes;
  }
  interface Motion {
    from: Axes;
    to: Axes;
    rapid: boolean;
    ccw: boolean;
    centre: Point | null;
    on: boolean;
  }
  interface Lattice {
    x: number;
    y: number;
    cell: number;
    columns: number;
    rows: number;
  }
  interface View {
    depth: Float32Array;
    thickMM: number;
    deepestMM: number;
    inside: Uint8Array | null;
    bare: boolean;
    hatch: boolean;
  }
  interface Colours {
    ramp: string[];
    foam: string;
    ink: string;
    white: string;
  }
  // What a hand holds over the foam: a pocket by where it was taken, or a piece by where it may go.
  interface Held {
    x: number;
    y: number;
    last?: PointerEvent;
  }
  interface HeldPocket extends Held {
    from: Point;
  }
  interface HeldPiece extends Held {
    piece: string;
    place?: Placing;
    move?: Point | null;
  }

  // What the program behind the page answers.
  interface Asker {
    state(seen: number): Promise<State>;
    room(at: string): Promise<Room>;
    place(what: { piece: string } | { at: string }, tray: string): Promise<Placing>;
    edit(change: Change): Promise<Told>;
    undo(): Promise<Told>;
    lost: string; // that nobody answers any more
    another: string; // that another run does
  }
  interface Finding {
    severity?: string;
    rule?: string;
    where?: string;
    message: string;
    hint?: string;
  }
  interface Told {
    done: boolean;
    told: Finding[];
  }
  interface State {
    version: number;
    refused: boolean;
    shown: boolean;
    findings: Finding[];
    wrong: Wrong[];
    sum: string;
    steps: number;
    loose: LoosePiece[];
    job: string;
    page?: string;
  }
  interface Wrong {
    tray: string;
    path: string;
    box: Box;
    text: string;
  }
  interface LoosePiece {
    id: string;
    name: string;
    missing: number;
    at: string;
  }
  interface Room extends Told {
    sum: string;
    allowed: Point[][];
    at: Point;
    steps: Point;
    pockets: number[];
    marks: number[];
    values: Value[];
    else: string;
  }
  interface Placing extends Room {
    box: Box;
  }
  interface Value {
    key: string;
    written: string;
    of: string;
    now: string;
    line: string;
  }
  interface Change {
    sum: string;
    at?: string;
    move?: Point;
    key?: string;
    value?: string;
    piece?: string;
    tray?: string;
  }
}
