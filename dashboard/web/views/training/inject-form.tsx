import { useState } from 'preact/hooks';
import { ACTIONS, NAMED_CHANNELS, type NamedChannel, type TrainingAction } from '#core/training/names';
import { useApp } from '../../app-context.ts';
import { More } from '../../parts/more.tsx';
import { Pick } from '../../parts/pick.tsx';
import { format, text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { FAULT_KINDS } from './fault-kinds.ts';
import {
  DRIFTING,
  emptyInjection,
  type InjectionDraft,
  type InjectionField,
  injectionOf,
  LEAST_LENGTH_MM,
  MOST_LENGTH_MM,
  MOST_RAMP_MM,
  wrongFields,
} from './injection-draft.ts';
import { TickBoxes } from './tick-boxes.tsx';
import { actionWords, channelWords, faultWords, whereWords } from './training-words.ts';
import { useFrames } from './use-frames.ts';
import { useStep } from './use-step.ts';

/** Something goes wrong from where a rig is now, as the trainer wants it. */
export function InjectForm() {
  const { training } = useApp();
  const t = text.value.training;
  const i = t.inject;
  const step = useStep();
  const { order } = useFrames();
  const [draft, setDraft] = useState<InjectionDraft>(emptyInjection);
  const [tried, setTried] = useState(false);
  const [done, setDone] = useState<string | null>(null);
  const rigs = (training.overview.value?.control?.rigs ?? []).filter(({ pass }) => pass !== null);
  const kind = FAULT_KINDS.find(({ name }) => name === draft.fault)!;
  // One rig alone needs no choice.
  const rig = rigs.find(one => one.rig === draft.rig) ?? (rigs.length === 1 ? rigs[0] : undefined);
  const wrong = wrongFields(draft);
  const { units, value: shown } = format();
  const sentences: Readonly<Record<InjectionField, string>> = {
    size: i.wrong.size,
    ramp: i.wrong.ramp(shown('length', MOST_RAMP_MM)),
    length: i.wrong.length(shown('length', LEAST_LENGTH_MM), shown('length', MOST_LENGTH_MM)),
    otherPass: i.wrong.otherPass,
  };
  const error = (field: InjectionField): string | null =>
    tried && wrong.has(field) ? sentences[field] : null;
  const change = (part: Partial<InjectionDraft>): void => {
    setDraft(now => ({ ...now, ...part }));
    setDone(null);
  };

  async function inject(): Promise<void> {
    setTried(true);
    if (rig === undefined || wrong.size > 0) return;
    const injection = injectionOf(draft, rig.rig);
    if (!(await step.take(() => training.steer('inject', injection)))) return;
    setDone(i.done(faultWords(injection), whereWords(rig)));
    setTried(false);
  }

  return (
    <form
      class="form-sheet"
      noValidate
      aria-label={i.title}
      onSubmit={event => {
        event.preventDefault();
        void inject();
      }}
    >
      <h2>{i.title}</h2>
      <Pick
        name="inject-rig"
        legend={i.rig}
        empty={i.noPass}
        options={rigs.map(one => ({
          value: one.rig,
          label: `${whereWords(one)}: ${t.truth.place(one.joint ?? '', one.pass ?? '')}`,
        }))}
        value={rig?.rig ?? ''}
        error={tried && rigs.length > 0 && rig === undefined ? i.wrong.rig : null}
        pick={value => change({ rig: value })}
      />
      <div class="field">
        <label for="inject-fault">{i.fault}</label>
        <select
          id="inject-fault"
          value={draft.fault}
          onChange={event => {
            const chosen = FAULT_KINDS.find(({ name }) => name === event.currentTarget.value)!;
            change({ fault: chosen.name, size: chosen.size });
          }}
        >
          {FAULT_KINDS.map(({ name }) => (
            <option key={name} value={name}>
              {t.fault[name]}
            </option>
          ))}
        </select>
      </div>
      <div class="field-pair">
        {kind.unit === null ? (
          <p class="field hint">{i.sizeNone}</p>
        ) : (
          <TypedField
            id="inject-size"
            label={i.size(kind.unit)}
            value={draft.size}
            error={error('size')}
            type={size => change({ size })}
          />
        )}
        <TypedField
          id="inject-ramp"
          label={i.ramp(units.length.unit)}
          hint={i.rampHint}
          value={draft.ramp}
          error={error('ramp')}
          type={ramp => change({ ramp })}
        />
        <TypedField
          id="inject-length"
          label={i.length(units.length.unit)}
          hint={i.lengthHint}
          value={draft.length}
          error={error('length')}
          type={length => change({ length })}
        />
        {draft.fault === 'wrongPass' && order.length === 0 && (
          <TypedField
            id="inject-pass"
            label={i.otherPass}
            kind="text"
            max={60}
            value={draft.otherPass}
            error={error('otherPass')}
            type={otherPass => change({ otherPass })}
          />
        )}
      </div>
      {draft.fault === 'wrongPass' && order.length > 0 && (
        <Pick
          name="inject-pass"
          legend={i.otherPass}
          options={order.map(value => ({ value, label: value }))}
          value={draft.otherPass}
          error={error('otherPass')}
          pick={otherPass => change({ otherPass })}
        />
      )}
      {draft.fault === 'sensorDrift' && (
        <Pick
          name="inject-channel"
          legend={i.driftChannel}
          options={DRIFTING.map(value => ({ value, label: channelWords(value) }))}
          value={draft.channel}
          error={null}
          pick={channel => change({ channel: channel as InjectionDraft['channel'] })}
        />
      )}
      <More label={i.right} open={false}>
        <TickBoxes
          legend={i.rightChannels}
          options={NAMED_CHANNELS.map(value => ({ value, label: channelWords(value) }))}
          ticked={draft.channels}
          tick={channels => change({ channels: channels as readonly NamedChannel[] })}
        />
        <TickBoxes
          legend={i.rightActions}
          options={ACTIONS.map(value => ({ value, label: actionWords(value) }))}
          ticked={draft.actions}
          tick={actions => change({ actions: actions as readonly TrainingAction[] })}
        />
      </More>
      <div role="alert">
        {step.failure !== null && <p class="message out">{t.desk.refused(step.failure)}</p>}
      </div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={step.busy || rigs.length === 0}>
          {i.go}
        </button>
      </div>
      <p role="status">{done ?? ''}</p>
    </form>
  );
}
