import { type PictureFigures, sayPicture } from './say-picture.js';

const good: PictureFigures = {
  widthPx: 4000,
  heightPx: 3000,
  edgePx: 2.4,
  brightShare: 0.001,
  darkShare: 0.1,
  target: { tags: 20, pxPerMm: 5.2, tiltDeg: 3 },
  neededPxPerMm: 1.8,
};

describe('sayPicture', () => {
  it('has nothing against a good picture', () => {
    const said = sayPicture(good, { kind: 'rubbing' });
    expect(said).toMatchObject({ again: [], stop: null });
    expect(said.found.join('; ')).toContain('5.2 px to the millimetre');
  });

  it('refuses a rubbing that is too coarse with the number, and only tells of it otherwise', () => {
    const coarse = { ...good, target: { tags: 20, pxPerMm: 1.2, tiltDeg: 3 } };
    expect(sayPicture(coarse, { kind: 'rubbing' }).stop).toMatch(/1\.2 px .* 1\.8 are needed/);
    const photograph = sayPicture(coarse, { kind: 'photograph' });
    expect(photograph.stop).toBeNull();
    expect(photograph.again.join()).toMatch(/1\.2 px .* 1\.8/);
  });

  it('refuses a rubbing whose edges run over more than a millimetre', () => {
    const blurred = { ...good, edgePx: 12, target: { tags: 20, pxPerMm: 5.2, tiltDeg: 3 } };
    expect(sayPicture(blurred, { kind: 'rubbing' }).stop).toMatch(/over 2\.3 mm/);
  });

  it('does not tell scale or tilt without a target sheet', () => {
    const { found } = sayPicture({ ...good, target: null }, { kind: 'photograph' });
    expect(found.join()).not.toMatch(/px to the millimetre|leans/);
  });

  it('says what burnt out and what drowned', () => {
    expect(sayPicture({ ...good, brightShare: 0.3 }, { kind: 'photograph' }).again).toHaveLength(1);
    expect(sayPicture({ ...good, darkShare: 0.9 }, { kind: 'photograph' }).again).toHaveLength(1);
  });
});
