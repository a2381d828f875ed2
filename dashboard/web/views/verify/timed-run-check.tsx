import { useState } from 'preact/hooks';
import type { Entry } from '#core/journal/entry';
import { unitLabel } from '#core/units/unit-label';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { numberText } from '../../text/typed-number.ts';
import { keepSettings, readSettings } from './check-settings.ts';
import { EdgeRunBox } from './edge-run-box.tsx';
import { Choice, TypedField } from './fields.tsx';
import { figures, speedText, withUnit } from './result-texts.ts';
import { IDLE, type Run } from './run-clock.ts';
import { RunResultPanel, runWord } from './run-result.tsx';
import { RunTimer } from './run-timer.tsx';
import { SaveBlock } from './save-block.tsx';
import { SettingsFields } from './settings-fields.tsx';
import { TapeFields } from './tape-fields.tsx';
import {
  likelierUnit,
  missingRunFields,
  type RigFacts,
  type RunCheck,
  type RunField,
  type RunResult,
  runResult,
  SPEED_UNITS,
  type TimedRunForm,
} from './timed-run-form.ts';
import { lengthText, typedLength } from './typed-length.ts';
import { useDraft } from './use-draft.ts';
import { useEdgeRun } from './use-edge-run.ts';
import type { People } from './use-people.ts';

export interface RunFacts extends RigFacts {
  readonly outsideDiameterMm: number | null;
  readonly samplePeriodS: number | null;
}

/** How the tape was set, which the next run of the same check does not change. */
export type TapeSet = Pick<TimedRunForm, 'tapeOn' | 'outsideDiameter' | 'bandHeight' | 'shownUnit'>;

export interface RunStart {
  readonly state: 'asFound' | 'asLeft';
  readonly targetS: string | null;
  readonly tape: TapeSet | null;
}

interface TimedRunCheckProps {
  readonly check: RunCheck;
  readonly site: string;
  readonly rig: string;
  readonly facts: RunFacts;
  readonly people: People;
  readonly start: RunStart;
  readonly onSaved: (entry: Entry, result: RunResult, set: TapeSet) => void;
}

const CHANNEL = { travel: 'travelSpeed', wireFeed: 'wireFeedSpeed' } as const;

function emptyForm({ check, facts, start }: TimedRunCheckProps): TimedRunForm {
  const settings = readSettings(localStorage, check);
  const { outsideDiameterMm: outside, referenceRadiusMm: radius } = facts;
  const height = outside === null || radius === null ? null : Math.max(0, radius - outside / 2);
  return {
    ...settings,
    targetS: start.targetS ?? settings.targetS,
    state: start.state,
    tapeOn: 'pipe',
    outsideDiameter: lengthText(outside, settings.lengthUnit),
    bandHeight: lengthText(height, settings.lengthUnit),
    runS: '',
    measured: '',
    shown: '',
    shownUnit: SPEED_UNITS[check].find(unit => unit.startsWith('[in_i]') === (settings.lengthUnit === 'in'))!,
    edgeMmPerS: null,
    ...start.tape,
  };
}

/** Travel or wire feed: a timed run, a tape, what the rig showed. */
export function TimedRunCheck(props: TimedRunCheckProps) {
  const { check, site, rig, facts, people, onSaved } = props;
  const t = text.value.verify;
  const key = `girthlog.draft.${site}/${rig}/${check}`;
  const [form, change, clear] = useDraft(key, () => emptyForm(props));
  const [run, setRun] = useState<Run>(IDLE);
  const [tried, setTried] = useState(false);
  const { look, again } = useEdgeRun({ site, rig, channel: CHANNEL[check] }, run);

  // What the edge saw stands in the entry only while it is this run's.
  const seen = look.kind === 'seen' ? look.run.meanMmPerS : null;
  const whole: TimedRunForm = { ...form, edgeMmPerS: seen };
  const missing = missingRunFields(check, whole, facts);
  const answer = missing.length === 0 ? runResult(check, whole, facts) : null;
  const result = answer?.kind === 'value' ? answer.value : null;
  const error = (field: RunField): string | null =>
    tried && missing.includes(field) ? t.missing[field] : null;

  function onRun(next: Run): void {
    setRun(next);
    if (next.kind === 'stopped') {
      change({ runS: next.disagreementS === null ? format().fixed(next.runS, 2) : '' });
    } else change({ runS: '' });
  }
  function runLonger(seconds: string): void {
    setRun(IDLE);
    change({ targetS: seconds, runS: '', measured: '' });
    document.querySelector<HTMLElement>('.timer-button')?.focus();
  }
  const otherUnit = result === null ? null : likelierUnit(check, whole, result);
  const length = typedLength(form.measured, form.lengthUnit);
  const unitWord = form.lengthUnit === 'mm' ? t.mm : t.inches;
  return (
    <>
      <Choice
        name="state"
        legend={t.state}
        options={[
          { value: 'asFound', label: t.asFound },
          { value: 'asLeft', label: t.asLeft },
        ]}
        value={form.state}
        pick={state => change({ state })}
      />
      <h2>{t.run.title}</h2>
      <p>{t.run.how[check]}</p>
      <TypedField
        id="target"
        label={t.run.target}
        value={form.targetS}
        error={null}
        type={targetS => change({ targetS })}
      />
      <RunTimer run={run} targetS={form.targetS} onRun={onRun} />
      <p class="hint">{t.run.measured}</p>
      <TypedField
        id="run-time"
        label={t.run.runTime}
        hint={t.run.runTimeHint}
        value={form.runS}
        error={error('runS')}
        type={runS => change({ runS })}
      />

      <h2>{t.byTape}</h2>
      <TapeFields check={check} form={form} facts={facts} error={error} change={change} />
      <TypedField
        id="measured"
        label={t.measured[check](unitWord)}
        hint={form.lengthUnit === 'in' ? t.inchHint : undefined}
        value={form.measured}
        kind={form.lengthUnit === 'in' ? 'text' : 'decimal'}
        error={error('measured')}
        type={measured => change({ measured })}
      >
        {form.lengthUnit === 'in' && length !== null && (
          <p class="hint">{t.converted(withUnit(length * 25.4, 'mm'))}</p>
        )}
      </TypedField>
      <h2>{t.byRig}</h2>
      <Choice
        name="shown-unit"
        legend={t.shownUnit}
        options={SPEED_UNITS[check].map(unit => ({ value: unit as string, label: unitLabel(unit) }))}
        value={form.shownUnit}
        pick={shownUnit => change({ shownUnit })}
      />
      <TypedField
        id="shown"
        label={`${t.shown}, ${unitLabel(form.shownUnit)}`}
        value={form.shown}
        error={error('shown')}
        type={shown => change({ shown })}
      >
        {otherUnit !== null && <p class="error">{t.otherUnit(unitLabel(otherUnit))}</p>}
      </TypedField>
      {facts.correctionFactor !== null && (
        <p class="note">{t.correctionApplies(format().fixed(facts.correctionFactor, 4))}</p>
      )}
      <EdgeRunBox
        look={look}
        again={again}
        speed={mmPerS => speedText(mmPerS, form.shownUnit)}
        useValue={edge => change({ shown: figures(edge.meanMmPerS), shownUnit: 'mm/s' })}
        useTime={edge =>
          change({
            runS: format().fixed(edge.runS, 3),
            ...(facts.samplePeriodS === null ? {} : { stopwatchS: numberText(facts.samplePeriodS) }),
          })
        }
      />

      <SettingsFields
        form={form}
        change={change}
        missing={tried ? missing : []}
        shown={['tape', 'stopwatchS', 'limitPercent', 'validHours']}
      />
      {result !== null ? (
        <RunResultPanel result={result} form={form} facts={facts} runLonger={runLonger} />
      ) : (
        <p class="result-none">
          {answer?.kind === 'outOfRange' ? t.result.wrong(said(answer.text)) : t.result.waiting}
        </p>
      )}
      <SaveBlock
        site={site}
        rig={rig}
        outcome={result?.check ?? null}
        word={result === null ? '' : runWord(result)}
        validHours={form.validHours}
        people={people}
        onTry={() => setTried(true)}
        onSaved={entry => {
          if (result === null) return;
          keepSettings(localStorage, check, form);
          clear();
          const { tapeOn, outsideDiameter, bandHeight, shownUnit } = form;
          onSaved(entry, result, { tapeOn, outsideDiameter, bandHeight, shownUnit });
        }}
      />
    </>
  );
}
