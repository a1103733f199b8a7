import { describe, expect, it } from '@jest/globals';
import { applyMatrix, makeCamera, projectToImage, undistort } from './camera.js';
import { caseName, HELD_OUT_CASES, TUNING_CASES } from './cases.js';
import { DEMO_PANELS } from './demo-panels.js';
import { STYLES, type Style } from './designs/index.js';
import { findFaces, sightRadiusMm } from './faces.js';
import { panelNet } from './panel-net.js';
import { ringArea } from './polyline.js';
import { QUALITIES } from './quality.js';
import { randomStream } from './random-stream.js';
import { makeSheet } from './sheet.js';

describe('panelNet', () => {
  it.each(Object.keys(STYLES) as Style[])(
    '%s: a plane graph whose pieces fill the panel',
    (style) => {
      const random = randomStream(`test/${style}`);
      const { graph, faces } = panelNet(
        random.branch('panel'),
        STYLES[style](random.branch('design')),
      );
      expect(graph.nodes.length - graph.leads.length + faces.faces.length).toBe(1);
      const outside = graph.leads.filter((_, i) => faces.sides[i]!.includes(-1));
      // The ring of the outer leads alone: its one face has the area of all pieces together.
      const whole = findFaces({ nodes: graph.nodes, leads: outside }).faces;
      expect(whole).toHaveLength(1);
      const sum = faces.faces.reduce((s, f) => s + ringArea(f.ring), 0);
      expect(sum).toBeCloseTo(ringArea(whole[0]!.ring), 3);
      expect(faces.faces.length).toBeGreaterThan(30);
      for (const face of faces.faces) expect(sightRadiusMm(graph, face)).toBeGreaterThan(1);
    },
  );

  it('is the same for the same key and another for another', () => {
    const make = (key: string) =>
      panelNet(randomStream(key), STYLES.figure(randomStream(`${key}/d`))).graph;
    expect(make('one')).toEqual(make('one'));
    expect(make('one')).not.toEqual(make('two'));
  });
});

describe('camera', () => {
  it('takes image places back to the panel', () => {
    const sheet = makeSheet([400, 500], [35, 35, 35, 35], 5);
    const camera = makeCamera(randomStream('camera'), sheet, QUALITIES.poor);
    expect(camera.k1).not.toBe(0);
    for (const mm of [
      [0, 0],
      [400, 500],
      [200, 250],
      [-30, 530],
    ] as const) {
      const [x, y] = projectToImage(camera, mm);
      const back = applyMatrix(camera.panelFromImage, undistort(camera, x, y));
      expect(Math.hypot(back[0] - mm[0], back[1] - mm[1])).toBeLessThan(1e-3);
    }
  });
});

it('never judges on a rubbing that was tuned on', () => {
  const tuned = new Set([...TUNING_CASES, ...DEMO_PANELS].map((c) => c.number));
  expect(HELD_OUT_CASES.filter((c) => tuned.has(c.number))).toEqual([]);
  expect(new Set(HELD_OUT_CASES.map(caseName)).size).toBe(HELD_OUT_CASES.length);
});
