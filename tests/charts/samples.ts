/** Small hand-made charts of every kind, and the same kinds with edge data. Values are invented. */
import type {Chart, CurvePoint} from "../../src/charts/index.ts";

const line = (f: (age: number) => number, width = 0.05): CurvePoint[] =>
  [10, 50, 100, 200, 300, 400].map((age) => ({
    age,
    estimate: f(age),
    lower: Math.max(0, f(age) - width),
    upper: Math.min(1, f(age) + width),
  }));
const failed = (age: number) => -Math.expm1(-((age / 250) ** 2));

export const SAMPLES: Readonly<Record<Exclude<Chart["kind"], "none">, Chart>> = {
  probability: {
    kind: "probability",
    paper: "weibull",
    unit: "h",
    series: [
      {
        name: "OBM",
        points: [
          {age: 80, failed: 0.08},
          {age: 130, failed: 0.2, from: 90, to: 150},
          {age: 220, failed: 0.55},
          {age: 300, failed: 0.8},
        ],
        suspensions: [60, 140, 310],
        line: line(failed),
      },
      {name: "KCL", points: [{age: 210, failed: 0.3}], suspensions: [100, 320], line: line((age) => failed(age * 0.7))},
    ],
  },
  reliability: {
    kind: "reliability",
    unit: "h",
    target: 0.95,
    series: [{name: "seals", curve: line((age) => 1 - failed(age)), steps: line((age) => 1 - failed(age * 1.1))}],
  },
  hazard: {kind: "hazard", unit: "h", series: [{name: "seals", curve: line((age) => age / 50, 2)}]},
  bars: {
    kind: "bars",
    label: "failures",
    unit: "",
    bars: [
      {name: "seal: lip worn", value: 30, lower: 22, upper: 41, serviceInduced: false, runningShare: 0.6},
      {
        name: "seal: fitted the wrong way round",
        value: 12,
        lower: 7,
        upper: 19,
        serviceInduced: true,
        runningShare: 0.84,
      },
      {name: "liner: bore washed", value: 8, lower: 4, upper: 14, serviceInduced: false, runningShare: 1},
    ],
  },
  intervals: {
    kind: "intervals",
    unit: "h",
    rows: [
      {name: "seal, OBM, high", group: "seal", value: 120, lower: 90, upper: 170, current: 400, note: ""},
      {name: "seal, KCL, low", group: "seal", value: 310, lower: 220, upper: null, current: 250, note: ""},
      {
        name: "screen, OBM, high",
        group: "screen",
        value: null,
        lower: null,
        upper: null,
        current: null,
        note: "run to failure",
      },
    ],
  },
  dots: {
    kind: "dots",
    label: "failures per 1,000 h",
    unit: "",
    reference: 1,
    log: true,
    rows: [
      {name: "Alder", group: "", value: 0.97, lower: 0.8, upper: 1.2, note: "78 in 80,120 h"},
      {name: "Cobalt", group: "", value: 3, lower: 2.5, upper: 3.6, note: "122 in 40,600 h"},
      {name: "Quiet", group: "", value: 0, lower: null, upper: 2.3, note: "0 in 1,300 h"},
    ],
  },
  pairs: {
    kind: "pairs",
    label: "comes through",
    names: ["as it stands", "renewed"],
    reference: 0.95,
    rows: [
      {
        name: "seal",
        first: {value: 0.8, lower: 0.7, upper: 0.88},
        second: {value: 0.98, lower: 0.96, upper: 0.99},
        note: "renew",
      },
      {name: "the whole", first: {value: 0.6, lower: null, upper: null}, second: null, note: ""},
    ],
  },
  foretold: {
    kind: "foretold",
    label: {foretold: "foretold", seen: "came through"},
    points: [
      {foretold: 0.75, seen: 0.7, lower: 0.6, upper: 0.8, count: 60},
      {foretold: 0.95, seen: 0.96, lower: 0.93, upper: 0.98, count: 400},
    ],
  },
  cost: {
    kind: "cost",
    unit: "h",
    currency: "USD",
    runToFailure: 14_000,
    marks: [
      {name: "today", interval: 250, cost: 5_000},
      {name: "recommended", interval: 160, cost: 4_100},
    ],
    series: [
      {
        name: "at rebuilds",
        curve: [40, 80, 160, 250, 400].map((age) => ({
          age,
          estimate: 300_000 / age + age * 15,
          lower: 200_000 / age,
          upper: 400_000 / age + age * 20,
        })),
      },
    ],
  },
  incidence: {
    kind: "incidence",
    unit: "h",
    series: [
      {name: "lip worn", serviceInduced: false, curve: line((age) => failed(age) * 0.6)},
      {name: "fitted the wrong way round", serviceInduced: true, curve: line((age) => failed(age) * 0.2)},
    ],
  },
  contour: {
    kind: "contour",
    unit: "h",
    series: [
      {
        name: "OBM",
        best: {shape: 2, scale: 250},
        rings: [
          {
            level: 0.5,
            points: [
              {shape: 1.8, scale: 250},
              {shape: 2, scale: 230},
              {shape: 2.2, scale: 250},
              {shape: 2, scale: 270},
            ],
          },
          {
            level: 0.9,
            points: [
              {shape: 1.5, scale: 250},
              {shape: 2, scale: 210},
              {shape: 2.6, scale: 250},
              {shape: 2, scale: 300},
            ],
          },
        ],
      },
    ],
  },
  wear: {
    kind: "wear",
    unit: "h",
    sizeUnit: "mm",
    measure: "bore",
    limit: 38.5,
    parts: [
      {
        name: "B-014 1",
        points: [
          {age: 0, size: 38.1},
          {age: 120, size: 38.2},
          {age: 260, size: 38.42},
        ],
      },
      {name: "B-015 1", points: [{age: 90, size: 38.15}]},
    ],
    path: [
      {age: 0, estimate: 38.1, lower: 38.08, upper: 38.12},
      {age: 400, estimate: 38.55, lower: 38.5, upper: 38.6},
    ],
  },
  recurrence: {
    kind: "recurrence",
    unit: "h",
    series: [{name: "Cobalt", curve: line((age) => age / 100, 0.5), growth: line((age) => (age / 100) ** 1.1)}],
  },
  residuals: {
    kind: "residuals",
    unit: "h",
    name: "Weibull",
    until: 0.6,
    fewest: 10,
    steps: [
      {ageFrom: 80, ageTo: 80, from: 0.08, to: 0.08, before: 0, after: 0.1, lower: 0.03, upper: 0.3},
      {ageFrom: 120, ageTo: 160, from: 0.2, to: 0.35, before: 0.1, after: 0.3, lower: null, upper: null},
      {ageFrom: 260, ageTo: 260, from: 0.9, to: 0.9, before: 0.3, after: 0.8, lower: 0.4, upper: 1.6},
    ],
  },
  funnel: {
    kind: "funnel",
    unit: "h",
    overall: 1.6,
    level: 0.9,
    curve: [1_000, 20_000, 80_000, 160_000].map((exposure) => ({
      exposure,
      lower: Math.max(0, 1.6 - 60 / Math.sqrt(exposure)),
      upper: 1.6 + 60 / Math.sqrt(exposure),
    })),
    points: [
      {name: "Alder", exposure: 80_000, rate: 0.97, outside: true},
      {name: "Basalt", exposure: 157_000, rate: 1.7, outside: false},
    ],
  },
  versus: {
    kind: "versus",
    label: "failures per 1,000 h",
    unit: "",
    log: false,
    reference: null,
    series: ["Cobalt", "Basalt"],
    rows: [
      {
        name: "seal: fitted the wrong way round",
        values: [
          {value: 0.4, lower: 0.2, upper: 0.7, note: "16"},
          {value: 0.1, lower: 0.05, upper: 0.16, note: "12"},
        ],
        marked: true,
      },
      {
        name: "liner: bore washed",
        values: [
          {value: 0.5, lower: 0.3, upper: 0.8, note: "20"},
          {value: 0, lower: 0, upper: 0.02, note: "0"},
        ],
        marked: false,
      },
      {name: "spring: broken coil", values: [null, {value: 0.02, lower: 0, upper: null, note: "2"}], marked: false},
    ],
    markedMeans: "beyond chance",
  },
  gap: {
    kind: "gap",
    label: "failures per 1,000 h",
    unit: "",
    from: {name: "Basalt", value: 1.7, note: "1.7"},
    to: {name: "Cobalt", value: 3, note: "3"},
    parts: [
      {name: "caused at service", value: 0.8, lower: 0.5, upper: 1.1, note: "+0.8 (62 %)"},
      {name: "mud", value: 0.7, lower: -0.2, upper: 1.4, note: "+0.7 (54 %)"},
      {name: "the rest", value: -0.2, lower: null, upper: null, note: "−0.2 (−15 %)"},
    ],
  },
  panels: {
    kind: "panels",
    label: "failures per 1,000 h",
    unit: "",
    change: Date.UTC(2024, 5, 1),
    panels: ["Alder", "Basalt", "Cobalt"].map((name, i) => ({
      name,
      overall: 1 + i,
      points: [0, 3, 6, 9].map((month) => ({
        from: Date.UTC(2024, month, 1),
        to: Date.UTC(2024, month + 3, 1),
        value: 1 + i + month / 10,
        lower: 0.5 + i,
        upper: month === 9 ? null : 2.5 + i,
        count: 4 + month,
      })),
    })),
  },
  spacing: {
    kind: "spacing",
    unit: "h",
    events: 4,
    lower: 300,
    centre: 900,
    upper: 2200,
    points: [700, 1200, 210, 950, 2600].map((length, i) => ({
      at: 1000 * (i + 1),
      length,
      day: Date.UTC(2024, i, 15),
      outside: length < 300 ? "short" : length > 2200 ? "long" : null,
    })),
  },
  timeline: {
    kind: "timeline",
    spans: [
      {lane: "B-014", from: Date.UTC(2024, 0, 4), to: Date.UTC(2024, 0, 9), label: "run 11", style: "plain"},
      {lane: "B-014", from: Date.UTC(2024, 0, 20), to: Date.UTC(2024, 0, 24), label: "run 12", style: "failed"},
      {lane: "B-014", from: Date.UTC(2024, 0, 10), to: Date.UTC(2024, 0, 18), label: "in the shop", style: "quiet"},
    ],
    moments: [{lane: "B-014", at: Date.UTC(2024, 0, 28), label: "rebuild 7"}],
  },
  history: {
    kind: "history",
    from: Date.UTC(2024, 0, 1),
    to: Date.UTC(2024, 2, 1),
    lanes: ["runs", "seal", "liner"],
    spans: [
      {
        lane: "runs",
        what: "run",
        from: Date.UTC(2024, 0, 4),
        to: Date.UTC(2024, 0, 9),
        end: "well",
        note: "",
        label: "run 11",
      },
      {
        lane: "runs",
        what: "run",
        from: Date.UTC(2024, 0, 20),
        to: Date.UTC(2024, 0, 20, 4),
        end: "failed",
        note: "",
        label: "run 12",
      },
      {
        lane: "seal",
        what: "life",
        from: Date.UTC(2023, 11, 1),
        to: Date.UTC(2024, 0, 20),
        end: "failed",
        note: "212 h",
        label: "seal, 212 h",
      },
      {
        lane: "liner",
        what: "life",
        from: Date.UTC(2024, 0, 2),
        to: Date.UTC(2024, 4, 1),
        end: "open",
        note: "90 h",
        label: "liner, 90 h so far",
      },
    ],
    visits: [{at: Date.UTC(2024, 0, 28), label: "rebuild 7"}],
    focus: {from: Date.UTC(2024, 0, 20), to: Date.UTC(2024, 0, 20, 4), label: "run 12"},
  },
  standing: {
    kind: "standing",
    among: "runs of Alder",
    rows: [
      {name: "flow", below: 0.4, value: "1,200 L/min", usual: "900 to 1,500"},
      {name: "sand", below: 0.99, value: "1.2 %", usual: "0.1 to 0.6"},
      {name: "temperature", below: null, value: "not logged", usual: ""},
    ],
  },
  placement: {
    kind: "placement",
    unit: "h",
    curve: [
      {age: 0, estimate: 0, lower: 0, upper: 0},
      {age: 200, estimate: 0.3, lower: 0.2, upper: 0.4},
      {age: 400, estimate: 0.8, lower: 0.7, upper: 0.9},
    ],
    part: {name: "the seal of K1-205", age: 212, from: 180, failed: 0.33},
    before: 150,
    marks: [{name: "today 250 h", age: 250}],
    others: [90, 210, 300],
  },
};

const none: readonly never[] = [];
const one: CurvePoint[] = [{age: 100, estimate: 0.5, lower: null, upper: null}];
const broken: CurvePoint[] = [
  {age: 0, estimate: 0, lower: 0, upper: 0},
  {age: 50, estimate: NaN, lower: NaN, upper: NaN},
  {age: 100, estimate: 0.2, lower: -Infinity, upper: Infinity},
  {age: Infinity, estimate: 1, lower: null, upper: null},
];

/** Data a chart may meet on a poor log: nothing, one point, suspensions only, limits that do not exist, zeros. */
export const EDGES: readonly (readonly [what: string, chart: Chart])[] = [
  ["nothing, with a reason", {kind: "none", sentence: "no failures"}],
  ["nothing", {kind: "none"}],
  ["a probability plot without series", {kind: "probability", paper: "weibull", unit: "h", series: none}],
  [
    "a probability plot of suspensions only",
    {
      kind: "probability",
      paper: "weibull",
      unit: "h",
      series: [{name: "a", points: none, suspensions: [0, 10, 20], line: none}],
    },
  ],
  [
    "a probability plot of one point",
    {
      kind: "probability",
      paper: "lognormal",
      unit: "h",
      series: [{name: "a", points: [{age: 5, failed: 0.5}], suspensions: none, line: none}],
    },
  ],
  [
    "a probability plot with positions 0 and 1 and age 0",
    {
      kind: "probability",
      paper: "loglogistic",
      unit: "runs",
      series: [
        {
          name: "a",
          points: [
            {age: 0, failed: 0},
            {age: 5, failed: 1},
            {age: 7, failed: 0.4, from: 0, to: 7},
          ],
          suspensions: [3],
          line: broken,
        },
      ],
    },
  ],
  [
    "a reliability curve of steps only",
    {kind: "reliability", unit: "h", target: null, series: [{name: "a", curve: none, steps: one}]},
  ],
  ["a reliability curve of nothing", {kind: "reliability", unit: "h", target: 0.95, series: none}],
  [
    "a reliability curve with missing limits",
    {kind: "reliability", unit: "h", target: 0.95, series: [{name: "a", curve: broken, steps: none}]},
  ],
  ["a hazard of nothing", {kind: "hazard", unit: "h", series: [{name: "a", curve: none}]}],
  [
    "a hazard that is zero",
    {kind: "hazard", unit: "h", series: [{name: "a", curve: [{age: 100, estimate: 0, lower: 0, upper: null}]}]},
  ],
  ["bars of nothing", {kind: "bars", label: "failures", unit: "", bars: none}],
  [
    "bars of zero",
    {
      kind: "bars",
      label: "failures",
      unit: "",
      bars: [{name: "a", value: 0, lower: 0, upper: null, serviceInduced: true, runningShare: null}],
    },
  ],
  ["intervals of nothing", {kind: "intervals", unit: "h", rows: none}],
  [
    "intervals that are all run to failure",
    {
      kind: "intervals",
      unit: "h",
      rows: [{name: "a", group: "", value: null, lower: null, upper: null, current: 0, note: "run to failure"}],
    },
  ],
  ["pairs of nothing", {kind: "pairs", label: "", names: ["a", "b"], reference: null, rows: none}],
  ["foretold of nothing", {kind: "foretold", label: {foretold: "f", seen: "s"}, points: none}],
  ["dots of nothing", {kind: "dots", label: "rate", unit: "", reference: null, log: false, rows: none}],
  [
    "dots without values",
    {
      kind: "dots",
      label: "rate",
      unit: "",
      reference: null,
      log: true,
      rows: [{name: "a", group: "", value: null, lower: null, upper: null, note: "no data"}],
    },
  ],
  [
    "dots at zero on a log axis",
    {
      kind: "dots",
      label: "rate",
      unit: "",
      reference: 1,
      log: true,
      rows: [{name: "a", group: "", value: 0, lower: 0, upper: 2, note: ""}],
    },
  ],
  [
    "cost without a curve",
    {
      kind: "cost",
      unit: "h",
      currency: "EUR",
      series: none,
      marks: [{name: "today", interval: 100, cost: null}],
      runToFailure: null,
    },
  ],
  [
    "cost with limits that do not exist",
    {
      kind: "cost",
      unit: "h",
      currency: "EUR",
      series: [{name: "a", curve: [{age: 1, estimate: Infinity, lower: null, upper: null}, ...one]}],
      marks: [{name: "today", interval: 100, cost: NaN}],
      runToFailure: 2,
    },
  ],
  ["incidence of nothing", {kind: "incidence", unit: "h", series: none}],
  [
    "a contour without rings",
    {kind: "contour", unit: "h", series: [{name: "a", best: {shape: 1, scale: 100}, rings: none}]},
  ],
  [
    "wear of one reading",
    {
      kind: "wear",
      unit: "h",
      sizeUnit: "mm",
      measure: "bore",
      limit: null,
      parts: [{name: "a", points: [{age: 10, size: 38}]}],
      path: none,
    },
  ],
  ["wear of nothing", {kind: "wear", unit: "h", sizeUnit: "mm", measure: "bore", limit: 3, parts: none, path: none}],
  ["recurrence of nothing", {kind: "recurrence", unit: "h", series: none}],
  ["residuals of nothing", {kind: "residuals", unit: "h", name: "Weibull", until: null, fewest: 10, steps: none}],
  [
    "residuals of one failure, and of a last step without an end",
    {
      kind: "residuals",
      unit: "h",
      name: "exponential",
      until: 5,
      fewest: 10,
      steps: [
        {ageFrom: 100, ageTo: 100, from: 0.5, to: 0.5, before: 0, after: 1, lower: null, upper: Infinity},
        {ageFrom: 120, ageTo: Infinity, from: 0.7, to: Infinity, before: 1, after: Infinity, lower: null, upper: NaN},
      ],
    },
  ],
  ["a funnel of nothing", {kind: "funnel", unit: "h", overall: NaN, level: 0.9, curve: none, points: none}],
  [
    "a funnel of one fleet without failures",
    {
      kind: "funnel",
      unit: "h",
      overall: 0,
      level: 0.9,
      curve: none,
      points: [{name: "a", exposure: 100, rate: 0, outside: false}],
    },
  ],
  ["a time line of nothing", {kind: "timeline", spans: none, moments: none}],
  ["a history of nothing", {kind: "history", from: 0, to: 0, lanes: none, spans: none, visits: none, focus: null}],
  [
    "a history with a span of no length and a run outside",
    {
      kind: "history",
      from: Date.UTC(2024, 0, 1),
      to: Date.UTC(2024, 0, 2),
      lanes: ["runs"],
      spans: [
        {
          lane: "runs",
          what: "run",
          from: Date.UTC(2024, 0, 1),
          to: Date.UTC(2024, 0, 1),
          end: "open",
          note: "",
          label: "",
        },
        {lane: "runs", what: "run", from: NaN, to: Date.UTC(2024, 0, 1), end: "well", note: "", label: ""},
      ],
      visits: none,
      focus: {from: 0, to: 1, label: "long ago"},
    },
  ],
  ["a standing of nothing", {kind: "standing", among: "runs", rows: none}],
  [
    "a placement without a model",
    {
      kind: "placement",
      unit: "h",
      curve: none,
      part: {name: "a", age: 10, from: 10, failed: NaN},
      before: null,
      marks: none,
      others: none,
    },
  ],
  [
    "a time line with undated spans",
    {
      kind: "timeline",
      spans: [{lane: "a", from: NaN, to: 5, label: "", style: "plain"}],
      moments: [{lane: "a", at: Date.UTC(2024, 1, 1), label: "x"}],
    },
  ],
];
