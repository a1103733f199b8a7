import { describe, expect, it } from '@jest/globals';
import { nodeDegrees } from './arrangement.js';
import { STYLES } from './designs/index.js';
import { developedAlong, mirrorSumMm, movedNet, withOpenEnds } from './panel-changes.js';
import { panelNet } from './panel-net.js';
import { ringArea } from './polyline.js';
import { randomStream } from './random-stream.js';

const panel = (key: string) =>
  panelNet(randomStream(key).branch('panel'), STYLES.figure(randomStream(key).branch('design')));

describe('developedAlong', () => {
  // Chord, rise and arc of circular bulges: worked examples of geometry, radius (c² / 4 + s²) / 2s.
  it.each([
    [600, 25, 602.774],
    [600, 38.1, 606.431],
    [450, 10, 450.592],
  ])('a chord of %d mm with a rise of %d mm is %d mm long', (chord, rise, arc) => {
    expect(developedAlong(chord, rise)(chord)).toBeCloseTo(arc, 3);
    expect(developedAlong(chord, rise)(chord / 2)).toBeCloseTo(arc / 2, 3);
    expect(developedAlong(chord, rise)(0)).toBeCloseTo(0, 9);
  });
});

describe('withOpenEnds', () => {
  it('adds open ends and leaves the pieces as they are', () => {
    const net = panel('open ends');
    const more = withOpenEnds(randomStream('ends'), net, 3);
    expect(nodeDegrees(more.graph).filter((d) => d === 1)).toHaveLength(3);
    expect(more.faces.faces).toHaveLength(net.faces.faces.length);
    const area = (faces: typeof net.faces.faces) => faces.reduce((s, f) => s + ringArea(f.ring), 0);
    expect(area(more.faces.faces)).toBeCloseTo(area(net.faces.faces), 0);
  });
});

it('a panel mirrored twice is itself', () => {
  const net = panel('mirror');
  const sum = mirrorSumMm(net);
  const over = movedNet(net, ([x, y]) => [sum - x, y]);
  expect(mirrorSumMm(over)).toBeCloseTo(sum, 9);
  const back = movedNet(over, ([x, y]) => [sum - x, y]);
  expect(back.graph.nodes[3]![0]).toBeCloseTo(net.graph.nodes[3]![0], 9);
});
