import { PROBLEMS } from './catalogue.js';
import { Problem, problemBody } from './problem.js';

describe('problemBody', () => {
  // RFC 9457 section 3.1: `status` repeats the HTTP status, `type` is a URI reference.
  it('writes the members of RFC 9457 and keeps them from being overwritten', () => {
    const problem = new Problem('stale-version', 'read it again', { currentVersion: 7, status: 1 });
    expect(problemBody(problem, '/v1/sites/x')).toEqual({
      type: '/problems/stale-version',
      title: 'It changed since it was read',
      status: 412,
      detail: 'read it again',
      instance: '/v1/sites/x',
      currentVersion: 7,
    });
  });

  it.each(Object.entries(PROBLEMS))('%s is an error status with a title', (code, row) => {
    expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
    expect(row.status).toBeGreaterThanOrEqual(400);
    expect(row.status).toBeLessThan(600);
    expect(row.title).not.toBe('');
  });
});
