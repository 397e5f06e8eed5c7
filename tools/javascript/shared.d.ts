/* What the scripts of the pages share: the parts of a page, the data the build lays down, and what one script offers another.
   Only the checker reads this. A key here that no page has is a lie nobody notices: change both. */

/* An element the template of the page has. Whether it is there, the tests in a browser see. */
interface Part extends HTMLElement {
  value: string;
  name: string;
  type: string;
  href: string;
  media: string;
  open: boolean;
  checked: boolean;
  disabled: boolean;
  required: boolean;
  selected: boolean;
  selectedIndex: number;
  /* The fields of a form by their names; a name may be missing where the book gives no reason for it. */
  elements: HTMLCollection & Record<string, Part>;
  options: Iterable<Part>;
  dataset: Record<string, string>;
  firstChild: Part;
  lastChild: Part;
  parentNode: Part;
  showModal(): void;
  close(): void;
}
interface ParentNode {
  querySelector(selectors: string): Part;
  querySelectorAll(selectors: string): NodeListOf<Part>;
}
interface Document { getElementById(id: string): Part }
interface Element { closest(selectors: string): Part }

/* A number to the last digit, as exact.js makes it of anything that says one. */
interface Fraction { n: bigint; d: bigint }
type Numeric = Fraction | string | number;

/* What cannot be answered: what is wrong and what to type instead. */
interface Refused { code?: string; fault: string; advice?: string; input?: Part }
/* An answer, or what is wrong in its place: ask for the fault first. */
type Or<T> = T & Partial<Refused>;
interface Told { code?: string; words: string; step?: string; mix?: string }

interface Exact {
  of(value: Numeric): Fraction;
  add(a: Numeric, b: Numeric): Fraction;
  sub(a: Numeric, b: Numeric): Fraction;
  mul(a: Numeric, b: Numeric): Fraction;
  div(a: Numeric, b: Numeric): Fraction;
  cmp(a: Numeric, b: Numeric): number;
  max(a: Numeric, b: Numeric): Fraction;
  floor(q: Numeric): Fraction;
  ceil(q: Numeric): Fraction;
  roundTo(q: Numeric, step: Numeric): Fraction;
  number(q: Numeric): number;
  text(q: Numeric): string;
  fixed(q: Numeric, places: number): string;
  digits(q: Numeric, count: number): string;
}

interface Units {
  units: Record<string, [dimension: string, factor: string, offset?: string]>;
  words: Record<string, [said: string, example: string]>;
  doubtful: Record<string, string[]>;
}
interface Amount { value: number; exact: Fraction; dimension: string; text: string }
interface Amounts { read(typed: string, wanted: string[], given?: { unit?: string }): Or<Amount> }

/* A mix as pages/batching.py gives it; calculator.js fills in what is empty. */
interface MixPart { name: string; title: string; premix?: boolean; share: string | null; volume_share: string | null; outside?: string }
interface Stock { name: string; title: string; amount: string; unit: string; share?: string | null; unknown?: string[]; premixes?: string[]; through?: string[] }
interface Mix {
  id: string; title: string; density: string | null; percent: string; left_in_cups: string | null; smallest: string | null; largest: string | null;
  fill: string | null; batch: string | null; plain: boolean; fixed: boolean; unweighed: boolean; parts: MixPart[]; materials?: MixPart[];
  lacking?: string[]; told?: Told[]; left?: Stock[]; lots?: { name: string; title: string; lot: string; last: string }[];
  cups_said?: string; smallest_said?: string; mass?: string | null; volume?: string | null; closing?: Told[]; start?: { mode?: string; text: string };
}
interface Scale { id: string; step: string; up_to: string }
interface Wanted {
  fill?: Numeric | null; piece?: Numeric | null; castings?: number;
  have?: [name: string, left: { mass?: Numeric; volume?: Numeric }][]; poured?: [name: string, grams: Numeric];
}
interface Line {
  name: string; title: string; grams: Fraction | null; milliliters: Fraction | null; share: Fraction | null;
  weigh: Fraction | null; reads: Fraction | null; step: Fraction; scale: string; outside: string;
}
interface Sheet {
  fill: Fraction | null; mass: Fraction; volume: Fraction | null; portions: number; plain: boolean; grown: string;
  lines: Line[]; portion: Line[]; warnings: Told[];
}
interface Batch {
  sheet(mix: Mix, wanted: Wanted, scales: Scale[], options?: { flat?: boolean }): Or<Sheet>;
  pastDate(mix: Mix, today: string): Told[];
  adjusted(before: Sheet, after: Sheet, name: string): { name: string; title: string; step: Fraction; add: Fraction }[];
  scaleWords(lines: Line[], scales: Scale[]): string[];
}

interface Gypsum {
  powder: number; water: number; volume: number; wetDensity: number; freeWater: number; dry: number; dryDensity: number; loss: number;
  riseAlpha: number; riseBeta: number;
}
interface Cure { short: number; usual: number; long: number; stalls: boolean }
interface Curve { surface: string; radius: number | null; share: number; about: number; wrinkle: number; largest: number | null }
interface Setting {
  gypsum(asked: { fill?: number; powder?: number; ratio: number; powderDensity?: number; waterDensity?: number }): Or<Gypsum>;
  dry(asked: { demolded: number; ratio: number }): Or<{ target: number }>;
  cure(asked: { time: number; at: number; room: number }): Or<Cure>;
  curve(asked: { shape: string; half: number; radius: number; across: number | null; saddle: boolean; tolerance: number }): Or<Curve>;
  cavity(asked: { weight: number; density?: number }): Or<{ volume: number }>;
}

/* A run as the device keeps it: what is not noted is empty. */
interface Run {
  id: string; recipe: string; kind: string; thing: string; build: string; mold: string; started: number; finished: number | null;
  room: string; humidity: string; moldTemp: string; at: number; heeded: Record<string, number>; done: Record<string, { at: number }>;
  waited: Record<string, number>; batches: Record<string, { weighed?: string; setAfter?: number; poured?: [string, string] }>;
  clock: { mix: string; start: number; stopped: number | null } | null;
  timers: { id: string; name: string; started: number; end: number; step: string; waits: boolean }[];
  notes: { step: string; note: string }[]; measured: { step?: string; what: string; value: string }[];
  wrong: { failure: string; note: string; harm: string; step: string }[]; lots: Record<string, string>; outcome: string;
  kept: { piece: string; grade: string }[];
  look: string; day: string; touchUps: { at: number; zone: string; note: string }[];
  moments: { at: number; what: string; zone: string; note: string }[]; morning: string; handed: number | null; touched?: number;
}
interface RunDocument {
  digest(text: string): number;
  fresh(id: string, recipe: string, time: number): Run;
  newId(name: string, time: number, zone: string, taken: string[], mark?: string): string;
  moment(time: number, zone: string): string;
  clean(text: string): string;
  yaml(run: Run, zone: string): string;
}

/* A time as the book has it, in minutes, with both ends of the temperature it is written for. */
interface Timed { low: number; high: number; words: string; at: number[] | null }
interface Band { short: number; long: number; words: string; note: string; cold: boolean; reckoned?: boolean }
interface Clock {
  today(timed: Timed, room: number | null): Band;
  digits(milliseconds: number): string;
  words(minutes: number): string;
  calendar(name: string, end: number, id: string, now: number): string;
}

interface RoomLimits {
  steps: { step: string; title: string; low: number; high: number; asks: string }[];
  cold: { code: string; step: string; title: string; material: string; under: number; happens: string }[];
  closing: { mix: string; title: string; minutes: number | null; starts: boolean; life: { low: number; high: number; time: string; at: number[] | null; written_for: string | null } | null }[];
}
interface Noted { room: number | null; mold: number | null; material: number | null }
interface Room { told(limits: RoomLimits, noted: Noted): Told[] }

interface Entry { run: Run; before: { deed: string; run: Run }[] }
interface Keep {
  fault(): string;
  runs(): Run[];
  get(id: string): Run | null;
  put(run: Run, deed?: string): void;
  last(id: string): string;
  undo(id: string): string;
  drop(id: string): Entry | null;
  restore(entry: Entry): void;
  aside(): string;
  refresh(): void;
  key: string;
}

/* How a run leaves the device. */
interface Deliver {
  ways(run: Run, zone: string, home: string | undefined): { deed: string; words: string; main: boolean }[];
  by(deed: string, run: Run, zone: string, home: string | undefined): Promise<{ ok: boolean; words: string }>;
  download(name: string, kind: string, text: string): void;
}

/* What pages/days.py lays down for a look on a day. */
interface DayData {
  zone: string; recipe: string; name: string; build: string; look: string; called: string; day: string; zones: string[];
}

/* What pages/bench.py lays down for one recipe, and for the whole book. */
interface BenchStep {
  id: string; title: string; starts: string | null; mixes: string[]; watch: string[]; materials: string[];
  timers: { name: string; minutes: number; mix?: string | null }[];
}
interface BenchData {
  recipe: string; name: string; title: string; makes: boolean; zone: string; scales: Scale[]; steps: BenchStep[]; mixes: Mix[];
  times: Record<string, { title: string; by?: string; fills?: boolean; pot_life?: Timed | null; demold?: Timed | null; full_cure?: Timed | null }>;
  molds: { id: string; title: string; build: string; fill: number | null; piece: number | null }[];
  things: { build: string; title: string; thing: string }[];
  lots: { material: string; title: string; kit: string[]; lots: { lot: string; last: string | null; got: string | null }[] }[];
  stuff: { material: string; title: string; where: string | null }[];
  room: RoomLimits;
}
interface Failure { id: string; title: string; said: string[]; now: string[]; not: string[]; page: string; stage: string; places: string[] }
interface Book { book: string; failures: Failure[]; runs: Record<string, number> }

type More = Record<string, string | number>;
type Deed = (from: Part) => void;
type Read = Or<{ written?: string; value?: number; exact?: Fraction; dimension?: string }>;
/* The bench view: bench.js makes it, each part adds what it knows. */
interface Bench {
  data: BenchData; book: Book; keep: Keep; root: Part; steps: BenchStep[];
  /* What each part takes back when the view is left. */
  ends: (() => void)[];
  deeds: Record<string, Deed>;
  said(name: string): Part;
  field(name: string): Part;
  make(name: string, words?: string | null, more?: More): Part;
  button(words: string, deed: string, more?: More): Part;
  tap(deed: string, change: (run: Run) => void): void;
  show(name: string): void;
  paint(): void;
  waiting(): Run[];
  inBook(run: Run): boolean;
  run(): Run;
  forget(): void;
  catchUp(): void;
  reload(): void;
  start(): void;
  screen(): string;
  at(place: number): void;
  leave(): void;
  /* bench-cautions.js */
  paintCautions(screen: Part): void;
  /* bench-end.js */
  paintEnd(): void;
  finish(): void;
  paintRuns(): void;
  keepEnd(): void;
  /* bench-hand.js */
  amount(typed: string, wanted: string[], unit?: string): Read;
  conditions(fields: Record<string, Part>): { fault?: string; field: Part; written?: { room: string; humidity: string; moldTemp: string } };
  temperature(typed: string): Read;
  sheet(mix: Mix): { weights: Part; deeds: Part | string };
  meets(step: BenchStep): string;
  paintStep(screen: Part, step: BenchStep): void;
  paintLots(): void;
  paintRoom(): void;
  /* bench-panels.js */
  labeled(kind: string, words: string, name: string, more?: More): { label: Part; field: Part };
  openPanel(title: string, fill: (place: Part) => void): void;
  closePanel(): void;
  keptPanel(): void;
  here(): string;
  /* bench-time.js */
  paintClocks(): void;
  potWords(mix: string): string;
  paintWaits(place: Part, step: BenchStep): void;
  awake(on: boolean): void;
  wanted(): boolean;
  room(): number | null;
}

/* Reading words as the tool does, by a table of the book. */
interface Reading {
  tokens(text: string): string[];
  read(text: string): string[];
  stem(word: string): string;
  slips(one: string, other: string, most: number): number;
  mayJoin(one: string, other: string): boolean;
}
interface WordTable { spellings: Record<string, string>; forms: Record<string, string>; negations: string[]; helpers: string[]; small: string[] }

/* address, title, kind, name, stage, families, harm, answer, order, what to do now, what not to do. */
type FindEntry = [string, string, string, string, string, string[], string, string, number, string[], string[]];
interface FindTable extends WordTable {
  entries: FindEntry[]; words: string; places: string[]; meanings: Record<string, number[]>; longest: number; sizes: number[]; apart: string[];
  answers: Record<string, string>;
}
interface Term {
  typed: string; small: boolean; fits: Map<string, number>; rarity: number; best: Map<number, number>; held: Map<number, number>;
  shouted: Set<number>; answered: Map<number, number>;
}
interface Hit { place: number; score: number; named: boolean; shouted: boolean; share: number; kind: number }
interface Finder {
  search(query: string): { hits: Hit[]; unknown: string[]; terms: Term[] };
  line(terms: Term[], place: number): string;
  withLines(root: string, then: () => void): void;
  leading<Found extends { place: number; kind?: number }>(found: Found[], most: number): Found[];
  missing(unknown: string[]): string;
  entries: FindEntry[];
  answers: Record<string, string>;
}

/* First aid: the rows as hurt-rows.js lays them down, and what hurt.js adds to them. */
interface HurtRow {
  id: string; title: string; acts: string[]; clock: { minutes: number; what: string } | null; never: string[]; call: string[]; more: string | null;
  sources: string[][];
}
interface Hurt extends WordTable {
  page: string; public: boolean; numbers: { key: string; title: string; said: string }[]; rows: HurtRow[];
  words: {
    groups: Record<string, string[]>; known: string[]; loose: string[]; near: Record<string, string>; body: string[];
    rows: Record<string, [ways: string[][], body: string[][], alone: string[], otherwise: string[][]]>;
  };
  /* What a page adds to the panel, as the bench does. */
  here?: (() => Part[])[];
  called(query: string): HurtRow[];
  open(id: string): void;
}

/* What was typed at the desk and is not in the book yet. */
interface Draft { at: number; digest: string; pairs: string[][] }
interface Desk {
  read(book: string, address: string): Draft | null;
  write(book: string, address: string, draft: Draft): boolean;
  drop(book: string, address: string): void;
  failed(): boolean;
}
interface DeskLists { start(form: Part): void; dress(root: ParentNode): void; deed(form: Part, button: Part): boolean }

interface Window {
  mothermoldAmounts: Amounts;
  mothermoldBatch: Batch;
  mothermoldBench: Bench;
  mothermoldBenchParts: ((bench: Bench) => void)[];
  mothermoldBenchView: { start(root: Part): Bench };
  mothermoldBook: Book;
  mothermoldCalculators: { start(root: ParentNode): void };
  mothermoldClock: Clock;
  mothermoldDeliver: Deliver;
  mothermoldDesk: Desk;
  mothermoldDeskLists: DeskLists;
  mothermoldExact: Exact;
  mothermoldFind: FindTable;
  mothermoldFindLines: string[];
  mothermoldFinder: Finder;
  mothermoldHurt: Hurt;
  mothermoldKeep: { open(book: string): Keep };
  mothermoldLight: { now: string; set(light: string): void };
  mothermoldRoom: Room;
  mothermoldRun: RunDocument;
  mothermoldSetting: Setting;
  mothermoldStems: (table: Omit<WordTable, "small">) => Reading;
  mothermoldUnits: Units;
  webkitAudioContext: typeof AudioContext;
}
