import type { z } from 'zod';
import { Problem } from '#libs/problem';
import { checkPictures, controlSchema, type pictureSchema } from './rubbing-control.js';

type Picture = z.infer<typeof pictureSchema>;

const A = '018f3a5e-7b1c-7c3d-8e4f-00000000000a';
const B = '018f3a5e-7b1c-7c3d-8e4f-00000000000b';
const place = (n: number) => Array.from({ length: n }, (_, i): [number, number] => [i * 10, i * i]);
const tape: Extract<Picture['control'], { kind: 'distances' }> = {
  kind: 'distances',
  marks: ['A', 'B', 'C', 'D'],
  distances: [
    { from: 'A', to: 'B', mm: 400 },
    { from: 'B', to: 'C', mm: 300 },
    { from: 'C', to: 'D', mm: 400 },
    { from: 'D', to: 'A', mm: 300 },
    { from: 'A', to: 'C', mm: 500 },
  ],
};

function refusal(pictures: Picture[]): { field: unknown; detail: string } | null {
  try {
    checkPictures(pictures);
    return null;
  } catch (error) {
    if (!(error instanceof Problem) || error.code !== 'control-unusable') throw error;
    return { field: error.members['field'], detail: error.message };
  }
}

describe('pictures of a rubbing', () => {
  it.each<[string, Picture['control'], number]>([
    ['distances', tape, 4],
    ['a ruler', { kind: 'scale_bar', length_mm: 100 }, 2],
    ['diagonals', { kind: 'diagonals', AC_mm: 500, BD_mm: 500 }, 4],
    ['the target sheet', { kind: 'target_sheet' }, 0],
    ['a scanner', { kind: 'scanner', dpi: 300 }, 0],
  ])('%s: as many taps as it has marks', (_, control, n) => {
    expect(refusal([{ mediaId: A, control, taps: place(n) }])).toBeNull();
    expect(refusal([{ mediaId: A, control, taps: place(n + 1) }])).toMatchObject({
      field: 'pictures[0].taps',
      detail: expect.stringContaining(`needs ${n} places`) as string,
    });
  });

  it('name the second one that is wrong', () => {
    const good: Picture = { mediaId: A, control: tape, taps: place(4) };
    expect(refusal([good, { ...good, mediaId: B, taps: [] }])).toMatchObject({
      field: 'pictures[1].taps',
    });
    expect(refusal([good, good])).toMatchObject({ field: 'pictures[1].mediaId' });
  });

  it.each([
    ['a mark that is not there', [...tape.distances.slice(1), { from: 'A', to: 'E', mm: 9 }], 4],
    ['from a mark to itself', [{ from: 'A', to: 'A', mm: 9 }, ...tape.distances.slice(1)], 0],
    ['measured twice', [...tape.distances, { from: 'C', to: 'A', mm: 501 }], 5],
  ])('a distance %s is named', (_, distances, at) => {
    const control = { ...tape, distances };
    expect(refusal([{ mediaId: A, control, taps: place(4) }])?.field).toBe(
      `pictures[0].control.distances[${at}]`,
    );
  });

  it('two marks of one name are named', () => {
    const control = { ...tape, marks: ['A', 'B', 'C', 'A'] };
    expect(refusal([{ mediaId: A, control, taps: place(4) }])?.field).toBe(
      'pictures[0].control.marks',
    );
  });

  // a quadrilateral has eight coordinates, three of them its place: five distances fix its shape
  it('four marks need five distances', () => {
    const short = { ...tape, distances: tape.distances.slice(1) };
    expect(controlSchema.safeParse(tape).success).toBe(true);
    expect(controlSchema.safeParse(short).success).toBe(false);
  });
});
