import { csvRows, csvTables } from './csv-rows.js';

describe('rows of a CSV file', () => {
  // Source: RFC 4180 § 2, rules 1 to 7; the examples are those of its text.
  it.each([
    [
      'lines end with CRLF',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'the last line may have no end',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'fields may stand in quotes',
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    ['a quoted field may hold a line end', '"aaa","b\r\nbb","ccc"', [['aaa', 'b\r\nbb', 'ccc']]],
    ['a quote is doubled inside quotes', '"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
  ])('%s', (_rule, text, rows) => {
    expect(csvRows(text)).toEqual(rows);
  });

  it('part into tables at empty lines', () => {
    expect(csvTables('a,b\r\n1,2\r\n\r\nc\r\n3\r\n')).toEqual([
      [
        ['a', 'b'],
        ['1', '2'],
      ],
      [['c'], ['3']],
    ]);
  });
});
