/**
 * Signs of the drawing: hatches for areas, strokes for lines, shapes for points.
 *
 * All are plain geometry in millimetres, so that screen, SVG and PDF draw the same. They are our
 * own and follow no existing diagram key; each differs from the others without its colour.
 */
export type Xy = readonly [x: number, y: number];

/** One tile that repeats in both directions. */
export interface HatchTile {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly strokeMm: number;
  /** Polylines; parts outside the tile are there so that strokes join across its edges. */
  readonly lines: readonly (readonly Xy[])[];
  readonly dots: readonly (readonly [x: number, y: number, radiusMm: number])[];
  readonly rings: readonly (readonly [x: number, y: number, radiusMm: number])[];
}

/** How a line is drawn: dashes, and small marks set along it. */
export interface LineStroke {
  readonly strokeMm: number;
  readonly dashMm: readonly number[];
  readonly marks: {
    readonly everyMm: number;
    /** In a frame of the line: x along, y to its right, mm; each polyline is one stroke. */
    readonly lines: readonly (readonly Xy[])[];
  } | null;
}

/** A point's shape round (0, 0); drawn about 3 mm large whatever the zoom. */
export interface PointShape {
  readonly lines: readonly (readonly Xy[])[];
  readonly rings: readonly (readonly [x: number, y: number, radiusMm: number])[];
  readonly isFilled: boolean;
}

const THIN = 0.3;

function tile(
  size: number | readonly [number, number],
  parts: Partial<Pick<HatchTile, 'lines' | 'dots' | 'rings' | 'strokeMm'>>,
): HatchTile {
  const [widthMm, heightMm] = typeof size === 'number' ? [size, size] : size;
  return { widthMm, heightMm, strokeMm: THIN, lines: [], dots: [], rings: [], ...parts };
}

/** Parallel strokes; in a diagonal tile the corners carry the neighbours' ends. */
function parallel(angle: 0 | 45 | 90 | 135, spacing: number, strokeMm = THIN): HatchTile {
  if (angle === 0)
    return tile(spacing, {
      strokeMm,
      lines: [
        [
          [0, spacing / 2],
          [spacing, spacing / 2],
        ],
      ],
    });
  if (angle === 90)
    return tile(spacing, {
      strokeMm,
      lines: [
        [
          [spacing / 2, 0],
          [spacing / 2, spacing],
        ],
      ],
    });
  const s = spacing * Math.SQRT2;
  const falling: Xy[][] = [
    [
      [0, 0],
      [s, s],
    ],
    [
      [-s / 2, s / 2],
      [s / 2, s * 1.5],
    ],
    [
      [s / 2, -s / 2],
      [s * 1.5, s / 2],
    ],
  ];
  const rising = falling.map((line) => line.map(([x, y]): Xy => [x, s - y]));
  return tile(s, { strokeMm, lines: angle === 45 ? rising : falling });
}

/** The same with every other stroke close to its neighbour. */
function double(angle: 0 | 45 | 90 | 135): HatchTile {
  if (angle === 0)
    return tile(2.6, {
      lines: [
        [
          [0, 0.9],
          [2.6, 0.9],
        ],
        [
          [0, 1.7],
          [2.6, 1.7],
        ],
      ],
    });
  if (angle === 90)
    return tile(2.6, {
      lines: [
        [
          [0.9, 0],
          [0.9, 2.6],
        ],
        [
          [1.7, 0],
          [1.7, 2.6],
        ],
      ],
    });
  const s = 3.7;
  const d = 1.1;
  const falling: Xy[][] = [0, d].flatMap((shift): Xy[][] => [
    [
      [-s, shift - s],
      [2 * s, shift + 2 * s],
    ],
    [
      [-s, shift],
      [2 * s, shift + 3 * s],
    ],
    [
      [-s, shift - 2 * s],
      [2 * s, shift + s],
    ],
  ]);
  return tile(s, {
    lines: angle === 135 ? falling : falling.map((line) => line.map(([x, y]): Xy => [x, s - y])),
  });
}

function dashes(angle: 0 | 45 | 90 | 135): HatchTile {
  if (angle === 0)
    return tile([3.2, 2.4], {
      lines: [
        [
          [0.3, 0.6],
          [1.9, 0.6],
        ],
        [
          [1.9, 1.8],
          [3.5, 1.8],
        ],
        [
          [-1.3, 1.8],
          [0.3, 1.8],
        ],
      ],
    });
  if (angle === 90)
    return tile([2.4, 3.2], {
      lines: [
        [
          [0.6, 0.3],
          [0.6, 1.9],
        ],
        [
          [1.8, 1.9],
          [1.8, 3.5],
        ],
        [
          [1.8, -1.3],
          [1.8, 0.3],
        ],
      ],
    });
  const falling: Xy[][] = [
    [
      [0.3, 0.3],
      [1.5, 1.5],
    ],
    [
      [1.9, 1.9],
      [3.1, 3.1],
    ].map(([x, y]): Xy => [x!, y! - 1.7]),
  ];
  return tile(3.4, {
    lines: angle === 135 ? falling : falling.map((line) => line.map(([x, y]): Xy => [x, 3.4 - y])),
  });
}

const cross = (x: number, y: number, r: number): Xy[][] => [
  [
    [x - r, y],
    [x + r, y],
  ],
  [
    [x, y - r],
    [x, y + r],
  ],
];
const saltire = (x: number, y: number, r: number): Xy[][] => [
  [
    [x - r, y - r],
    [x + r, y + r],
  ],
  [
    [x - r, y + r],
    [x + r, y - r],
  ],
];

export const AREA_HATCHES = {
  'lines-0': parallel(0, 1.5),
  'lines-45': parallel(45, 1.5),
  'lines-90': parallel(90, 1.5),
  'lines-135': parallel(135, 1.5),
  'wide-0': parallel(0, 3.2, 0.5),
  'wide-45': parallel(45, 3.2, 0.5),
  'wide-90': parallel(90, 3.2, 0.5),
  'wide-135': parallel(135, 3.2, 0.5),
  'double-0': double(0),
  'double-45': double(45),
  'double-90': double(90),
  'double-135': double(135),
  'dashes-0': dashes(0),
  'dashes-45': dashes(45),
  'dashes-90': dashes(90),
  'dashes-135': dashes(135),
  grid: tile(2.4, {
    lines: [
      [
        [0, 1.2],
        [2.4, 1.2],
      ],
      [
        [1.2, 0],
        [1.2, 2.4],
      ],
    ],
  }),
  lattice: tile(3, {
    lines: [
      [
        [0, 0],
        [3, 3],
      ],
      [
        [0, 3],
        [3, 0],
      ],
    ],
  }),
  dots: tile(2.2, {
    dots: [
      [0.55, 0.55, 0.3],
      [1.65, 1.65, 0.3],
    ],
  }),
  'dots-fine': tile(1.3, { dots: [[0.65, 0.65, 0.18]] }),
  'dots-large': tile(3.4, {
    dots: [
      [0.85, 0.85, 0.6],
      [2.55, 2.55, 0.6],
    ],
  }),
  rings: tile(3, {
    rings: [
      [0.75, 0.75, 0.5],
      [2.25, 2.25, 0.5],
    ],
  }),
  'rings-large': tile(4.2, { rings: [[2.1, 2.1, 1.4]] }),
  targets: tile(4.2, { rings: [[2.1, 2.1, 1.3]], dots: [[2.1, 2.1, 0.4]] }),
  plus: tile(3.2, { lines: [...cross(0.8, 0.8, 0.55), ...cross(2.4, 2.4, 0.55)] }),
  saltires: tile(3.2, { lines: [...saltire(0.8, 0.8, 0.45), ...saltire(2.4, 2.4, 0.45)] }),
  waves: tile([4, 2.2], {
    lines: [
      [
        [-0.5, 1.5],
        [0, 1.1],
        [1, 0.6],
        [2, 1.1],
        [3, 1.6],
        [4, 1.1],
        [4.5, 0.8],
      ],
    ],
  }),
  'waves-90': tile([2.2, 4], {
    lines: [
      [
        [1.5, -0.5],
        [1.1, 0],
        [0.6, 1],
        [1.1, 2],
        [1.6, 3],
        [1.1, 4],
        [0.8, 4.5],
      ],
    ],
  }),
  zigzag: tile([2.4, 2.2], {
    lines: [
      [
        [-1.2, 0.6],
        [0, 1.6],
        [1.2, 0.6],
        [2.4, 1.6],
        [3.6, 0.6],
      ],
    ],
  }),
  'zigzag-90': tile([2.2, 2.4], {
    lines: [
      [
        [0.6, -1.2],
        [1.6, 0],
        [0.6, 1.2],
        [1.6, 2.4],
        [0.6, 3.6],
      ],
    ],
  }),
  scales: tile([3, 2.6], {
    lines: [
      [
        [0, 0],
        [0.3, 0.9],
        [1.5, 1.3],
        [2.7, 0.9],
        [3, 0],
      ],
      [
        [-1.5, 1.3],
        [-1.2, 2.2],
        [0, 2.6],
        [1.2, 2.2],
        [1.5, 1.3],
      ],
      [
        [1.5, 1.3],
        [1.8, 2.2],
        [3, 2.6],
        [4.2, 2.2],
        [4.5, 1.3],
      ],
    ],
  }),
  brick: tile([4, 2.8], {
    lines: [
      [
        [0, 0.7],
        [4, 0.7],
      ],
      [
        [0, 2.1],
        [4, 2.1],
      ],
      [
        [1, 0.7],
        [1, 2.1],
      ],
      [
        [3, -0.7],
        [3, 0.7],
      ],
      [
        [3, 2.1],
        [3, 3.5],
      ],
    ],
  }),
  triangles: tile(3.4, {
    lines: [
      [
        [0.3, 1.3],
        [0.9, 0.3],
        [1.5, 1.3],
        [0.3, 1.3],
      ],
      [
        [2, 3],
        [2.6, 2],
        [3.2, 3],
        [2, 3],
      ],
    ],
  }),
  squares: tile(3.4, {
    lines: [
      [
        [0.4, 0.4],
        [1.3, 0.4],
        [1.3, 1.3],
        [0.4, 1.3],
        [0.4, 0.4],
      ],
      [
        [2.1, 2.1],
        [3, 2.1],
        [3, 3],
        [2.1, 3],
        [2.1, 2.1],
      ],
    ],
  }),
  chevrons: tile([3, 3], {
    lines: [
      [
        [0.4, 0.4],
        [1.5, 1.5],
        [2.6, 0.4],
      ],
      [
        [-1.1, 1.9],
        [0, 3],
        [1.1, 1.9],
      ],
      [
        [1.9, 1.9],
        [3, 3],
        [4.1, 1.9],
      ],
    ],
  }),
  'dash-dot': tile([4, 2], {
    lines: [
      [
        [0.2, 1],
        [2.2, 1],
      ],
    ],
    dots: [[3.2, 1, 0.28]],
  }),
  stars: tile(4, { lines: [...cross(2, 2, 0.9), ...saltire(2, 2, 0.6)] }),
} as const satisfies Record<string, HatchTile>;

export type AreaHatchName = keyof typeof AREA_HATCHES;

const tick = (length: number): Xy[][] => [
  [
    [0, -length],
    [0, length],
  ],
];
const stroke = (
  dashMm: readonly number[],
  marks: LineStroke['marks'] = null,
  strokeMm = 0.6,
): LineStroke => ({ strokeMm, dashMm, marks });

function polygonRound(radius: number): Xy[] {
  return Array.from({ length: 9 }, (_, i): Xy => {
    const angle = (Math.PI * i) / 4;
    return [round(radius * Math.cos(angle)), round(radius * Math.sin(angle))];
  });
}

export const LINE_STROKES = {
  plain: stroke([]),
  'plain-forks': stroke([], {
    everyMm: 6,
    lines: [
      [
        [0, 0],
        [1.4, 1.4],
      ],
      [
        [2, 0],
        [3.4, -1.4],
      ],
    ],
  }),
  'plain-rays': stroke([], { everyMm: 4, lines: saltire(0, 0, 0.9) }),
  dashed: stroke([3, 1.5]),
  dotted: stroke([0.4, 1.4], null, 0.9),
  'dash-dot': stroke([3, 1, 0.5, 1]),
  'dash-dot-dot': stroke([3, 1, 0.5, 1, 0.5, 1]),
  'long-dashes': stroke([7, 2]),
  'short-dashes': stroke([1.2, 1.2]),
  ticks: stroke([], { everyMm: 3, lines: tick(1) }),
  'ticks-left': stroke([], {
    everyMm: 3,
    lines: [
      [
        [0, 0],
        [0, -1.6],
      ],
    ],
  }),
  'ticks-right': stroke([], {
    everyMm: 3,
    lines: [
      [
        [0, 0],
        [0, 1.6],
      ],
    ],
  }),
  'ticks-wide': stroke([], { everyMm: 7, lines: tick(1.2) }),
  'ticks-pair': stroke([], {
    everyMm: 6,
    lines: [
      [
        [0, -1.1],
        [0, 1.1],
      ],
      [
        [1, -1.1],
        [1, 1.1],
      ],
    ],
  }),
  'ticks-slant': stroke([], {
    everyMm: 3,
    lines: [
      [
        [-0.8, 1],
        [0.8, -1],
      ],
    ],
  }),
  crosses: stroke([], { everyMm: 5, lines: saltire(0, 0, 0.9) }),
  'crosses-dashed': stroke([3, 2], { everyMm: 5, lines: cross(4, 0, 0.9) }),
  arrows: stroke([], {
    everyMm: 5,
    lines: [
      [
        [-1, -1],
        [0.4, 0],
        [-1, 1],
      ],
    ],
  }),
  'arrows-dashed': stroke([3, 2], {
    everyMm: 5,
    lines: [
      [
        [-1, -1],
        [0.4, 0],
        [-1, 1],
      ],
    ],
  }),
  boxes: stroke([], {
    everyMm: 5,
    lines: [
      [
        [-0.9, -0.9],
        [0.9, -0.9],
        [0.9, 0.9],
        [-0.9, 0.9],
        [-0.9, -0.9],
      ],
    ],
  }),
  diamonds: stroke([], {
    everyMm: 5,
    lines: [
      [
        [-1.2, 0],
        [0, -1],
        [1.2, 0],
        [0, 1],
        [-1.2, 0],
      ],
    ],
  }),
  teeth: stroke([], {
    everyMm: 2.4,
    lines: [
      [
        [-1.2, 0],
        [0, -1.2],
        [1.2, 0],
      ],
    ],
  }),
  'teeth-both': stroke([], {
    everyMm: 2.4,
    lines: [
      [
        [-1.2, 0],
        [0, -1.1],
        [1.2, 0],
        [0, 1.1],
        [-1.2, 0],
      ],
    ],
  }),
  combs: stroke([], {
    everyMm: 8,
    lines: [
      [
        [0, 0],
        [0, -1.5],
      ],
      [
        [1.2, 0],
        [1.2, -1.5],
      ],
      [
        [2.4, 0],
        [2.4, -1.5],
      ],
    ],
  }),
  rail: stroke(
    [],
    {
      everyMm: 0.8,
      lines: [
        [
          [0, -0.9],
          [0.8, -0.9],
        ],
        [
          [0, 0.9],
          [0.8, 0.9],
        ],
      ],
    },
    0.3,
  ),
  'rail-ticks': stroke(
    [],
    {
      everyMm: 3.2,
      lines: [
        [
          [0, -0.9],
          [3.2, -0.9],
        ],
        [
          [0, 0.9],
          [3.2, 0.9],
        ],
        [
          [0, -0.9],
          [0, 0.9],
        ],
      ],
    },
    0.3,
  ),
  beads: stroke([], { everyMm: 4, lines: [polygonRound(0.8)] }),
  anchors: stroke([], {
    everyMm: 6,
    lines: [
      [
        [-1, -1.1],
        [1, -1.1],
      ],
      [
        [0, -1.1],
        [0, 1.1],
      ],
      [
        [-1, 1.1],
        [1, 1.1],
      ],
    ],
  }),
  hooks: stroke([], {
    everyMm: 4,
    lines: [
      [
        [0, 0],
        [0, -1.4],
        [1, -1.4],
      ],
    ],
  }),
  steps: stroke([], {
    everyMm: 4,
    lines: [
      [
        [0, 0],
        [0, 1.2],
        [1.4, 1.2],
        [1.4, 0],
      ],
    ],
  }),
} as const satisfies Record<string, LineStroke>;

export type LineStrokeName = keyof typeof LINE_STROKES;

const shape = (
  lines: readonly (readonly Xy[])[],
  rings: PointShape['rings'] = [],
  isFilled = false,
): PointShape => ({ lines, rings, isFilled });

const polygon = (corners: number, turn = -90, radius = 1.5): Xy[] =>
  Array.from({ length: corners + 1 }, (_, i): Xy => {
    const angle = ((turn + (360 * i) / corners) * Math.PI) / 180;
    return [round(radius * Math.cos(angle)), round(radius * Math.sin(angle))];
  });

export const POINT_SHAPES = {
  disc: shape([], [[0, 0, 1.3]], true),
  circle: shape([], [[0, 0, 1.4]]),
  bullseye: shape(
    [],
    [
      [0, 0, 1.5],
      [0, 0, 0.5],
    ],
  ),
  square: shape([polygon(4, 45)]),
  'square-filled': shape([polygon(4, 45)], [], true),
  diamond: shape([polygon(4)]),
  'diamond-filled': shape([polygon(4)], [], true),
  triangle: shape([polygon(3)]),
  'triangle-down': shape([polygon(3, 90)]),
  'triangle-filled': shape([polygon(3)], [], true),
  pentagon: shape([polygon(5)]),
  hexagon: shape([polygon(6)]),
  star: shape([...cross(0, 0, 1.5), ...saltire(0, 0, 1.1)]),
  plus: shape(cross(0, 0, 1.4)),
  saltire: shape(saltire(0, 0, 1.2)),
  'circle-cross': shape(cross(0, 0, 1.4), [[0, 0, 1.4]]),
  'circle-saltire': shape(saltire(0, 0, 1), [[0, 0, 1.4]]),
  'circle-bar': shape(
    [
      [
        [-1.4, 0],
        [1.4, 0],
      ],
    ],
    [[0, 0, 1.4]],
  ),
} as const satisfies Record<string, PointShape>;

export type PointShapeName = keyof typeof POINT_SHAPES;

function round(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}
