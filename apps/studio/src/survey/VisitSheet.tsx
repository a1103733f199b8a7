import { say } from '../platform/language/say.js';
import { TextField } from '../platform/TextField.js';
import type { SaidField, SurveyDraft } from './survey-draft.js';

/** How the visit was made: purpose first, the rest folds out. */
export function VisitSheet({
  draft,
  onDraft,
}: {
  draft: SurveyDraft;
  onDraft: (draft: SurveyDraft) => void;
}) {
  const field = (name: SaidField, label: string, hint?: string) => (
    <TextField
      key={name}
      label={label}
      hint={hint}
      value={draft.said[name]}
      onValue={(value) => {
        onDraft({ ...draft, said: { ...draft.said, [name]: value } });
      }}
    />
  );
  return (
    <section className="paper stack" aria-label={say('The visit')}>
      {field('purpose', say('Why this survey is made'))}
      <div className="two">
        <TextField
          label={say('On which day')}
          hint="2026-05-04, 2019, 1998~"
          value={draft.happened}
          onValue={(value) => {
            onDraft({ ...draft, happened: value });
          }}
        />
        {field('nextInspection', say('Look again'), '2031, 2031-05')}
      </div>
      <details className="how">
        <summary>{say('How it was looked at')}</summary>
        <div className="stack">
          {field('observerRole', say('Your role'))}
          {field('scope', say('What was to be looked at'))}
          {field('notReached', say('What was not reached, and why'))}
          {field('method', say('By eye, magnified, by touch'))}
          {field('access', say('From where: scaffold, tower, ladder, floor'))}
          {field('light', say('Light'))}
          {field('weather', say('Weather'))}
        </div>
      </details>
      <details className="how">
        <summary>{say('Surroundings')}</summary>
        <div className="stack">
          {field('protectiveGlazing', say('Protective glazing'))}
          {field('ventilation', say('Ventilation'))}
          {field('heating', say('Heating'))}
          {field('condensation', say('Condensation'))}
        </div>
      </details>
      <details className="how">
        <summary>{say('What follows from it')}</summary>
        <div className="stack">
          {field('risk', say('If nothing is done'))}
          {field('furtherDiagnosis', say('Tests and samples still needed'))}
          {field('safety', say('What whoever comes next must know: lead, asbestos, access'))}
        </div>
      </details>
    </section>
  );
}
