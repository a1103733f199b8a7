import { readPastTable } from './read-past-table.js';

it('reads rows as a spreadsheet copies them, with the dates of papers', () => {
  const rows = readPastTable(
    'wI.1a\treplaced\tc. 1925\tblue glass\tArden & Son\nwI.2b, wI.2a;bond, epoxy;1998;;;;;invoice\n\nBaie 4\trelead.whole\tbefore 1900\n',
  );
  expect(rows.map(({ line, work }) => [line, work])).toEqual([
    [
      1,
      {
        where: ['wI.1a'],
        operation: 'replace',
        happened: '1925~',
        material: 'blue glass',
        who: 'Arden & Son',
      },
    ],
    [
      2,
      { where: ['wI.2b', 'wI.2a'], operation: 'bond.epoxy', happened: '1998', source: 'invoice' },
    ],
    [4, { where: ['Baie 4'], operation: 'relead.whole', happened: '../1899' }],
  ]);
});

it('takes columns in the order that the first row names', () => {
  const [row] = readPastTable(
    'Date\tMark\tWork\tRemark\n1870-1890\twI\tcement\tinscription on lead',
  );
  expect(row!.work).toEqual({
    where: ['wI'],
    operation: 'cement',
    happened: '1870/1890',
    note: 'inscription on lead',
  });
});

it.each([
  [
    'wI\tcleaned\t1950',
    {
      kind: 'operation-open',
      said: 'cleaned',
      among: expect.arrayContaining(['clean.wet']) as unknown,
    },
  ],
  ['wI\tpolished\t1950', { kind: 'operation-unknown', said: 'polished' }],
  ['wI\tcement\tin the old days', { kind: 'date-unread', said: 'in the old days' }],
  ['wI\tcement', { kind: 'when-missing' }],
  ['\tcement\t1950', { kind: 'where-missing' }],
  ['wI\t\t1950', { kind: 'what-missing' }],
])('says what is wrong with %j', (text, fault) => {
  expect(readPastTable(text)[0]).toMatchObject({ work: null, faults: [fault] });
});
