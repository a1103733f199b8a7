import { Controller } from '@nestjs/common';
import {
  Archive,
  answerTest,
  recordSurvey,
  recordTest,
  type SurveyRow,
  surveyView,
  type TestRow,
  testView,
  withdrawSurvey,
  withdrawTest,
} from '#libs/archive';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './surveys.routes.js';

@Controller()
export class SurveysController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listSurveys)
  async listSurveys(@Asked() { actor, params }: AskedFor<typeof routes.listSurveys>) {
    const { siteId, windowId } = await this.readable.window(actor, params.windowId);
    const rows = await this.archive.reads.query<SurveyRow>(
      'SELECT * FROM survey WHERE site_id = $1 AND window_id = $2 ORDER BY entry_seq DESC',
      [siteId, windowId],
    );
    return { items: rows.map(surveyView), next: null };
  }

  @Route(routes.recordSurvey)
  recordSurvey(@Asked() asked: AskedFor<typeof routes.recordSurvey>) {
    return run(this.archive, recordSurvey, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawSurvey)
  withdrawSurvey(@Asked() asked: AskedFor<typeof routes.withdrawSurvey>) {
    return run(this.archive, withdrawSurvey, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listTests)
  async listTests(@Asked() { actor, params, query }: AskedFor<typeof routes.listTests>) {
    const { siteId } = await this.readable.site(actor, params.siteId);
    const rows = await this.archive.reads.query<TestRow>(
      `SELECT * FROM test WHERE site_id = $1
         AND ($2::text IS NULL OR subject = $2 OR starts_with(subject, $2 || '.'))
         AND ($3::boolean IS FALSE OR (outcome IS NULL AND state = 'recorded'))
       ORDER BY entry_seq DESC`,
      [siteId, query.subject ?? null, query.awaited === '1'],
    );
    return { items: rows.map(testView), next: null };
  }

  @Route(routes.recordTest)
  recordTest(@Asked() asked: AskedFor<typeof routes.recordTest>) {
    return run(this.archive, recordTest, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.answerTest)
  answerTest(@Asked() asked: AskedFor<typeof routes.answerTest>) {
    return run(this.archive, answerTest, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawTest)
  withdrawTest(@Asked() asked: AskedFor<typeof routes.withdrawTest>) {
    return run(this.archive, withdrawTest, { ...asked.body, ...asked.params }, asked);
  }
}
