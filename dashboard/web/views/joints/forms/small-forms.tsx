import { Pick } from '../../../parts/pick.tsx';
import { text } from '../../../text/text.ts';
import { TypedField } from '../../verify/fields.tsx';
import { given, type JointForm } from './joint-form.ts';
import { PassPick } from './pass-pick.tsx';

export const lotsForm: JointForm<'wireLot' | 'gasLot'> = {
  needsReason: false,
  begin: ({ state }) => ({ wireLot: state?.wireLot ?? '', gasLot: state?.gasLot ?? '' }),
  from: ({ body }) =>
    body.kind === 'consumables'
      ? { wireLot: body.wireLot ?? '', gasLot: body.gasLot ?? '' }
      : { wireLot: '', gasLot: '' },
  problems: ({ wireLot, gasLot }) =>
    wireLot.trim() === '' && gasLot.trim() === '' ? { wireLot: text.value.jointEntries.missing.lot } : {},
  body: ({ wireLot, gasLot }, { joint }) => ({
    kind: 'consumables',
    joint,
    ...given('wireLot', wireLot),
    ...given('gasLot', gasLot),
  }),
  Fields({ draft, change, problems }) {
    const t = text.value.jointEntries;
    return (
      <>
        <p class="hint">{t.lotHint}</p>
        <TypedField
          id="wire-lot"
          label={t.wireLot}
          value={draft.wireLot}
          kind="text"
          max={60}
          error={problems.wireLot ?? null}
          type={wireLot => change({ wireLot })}
        />
        <TypedField
          id="gas-lot"
          label={t.gasLot}
          value={draft.gasLot}
          kind="text"
          max={60}
          error={null}
          type={gasLot => change({ gasLot })}
        />
      </>
    );
  },
};

const POLARITIES = ['electrodePositive', 'electrodeNegative'] as const;

export const polarityForm: JointForm<'polarity'> = {
  needsReason: false,
  // Never proposed: it is confirmed by looking.
  begin: () => ({ polarity: '' }),
  from: ({ body }) => ({ polarity: body.kind === 'polarityConfirmed' ? body.polarity : '' }),
  problems: ({ polarity }) => (polarity === '' ? { polarity: text.value.jointEntries.missing.polarity } : {}),
  body: ({ polarity }, { joint }) => ({
    kind: 'polarityConfirmed',
    joint,
    polarity: polarity === 'electrodeNegative' ? 'electrodeNegative' : 'electrodePositive',
  }),
  Fields({ draft, change, problems }) {
    const t = text.value.jointEntries;
    return (
      <>
        <p class="note">{t.polarityCaution}</p>
        <Pick
          name="polarity"
          legend={t.polarityLegend}
          options={POLARITIES.map(value => ({ value, label: t.polarity[value] }))}
          value={draft.polarity}
          error={problems.polarity ?? null}
          pick={polarity => change({ polarity })}
        />
      </>
    );
  },
};

export const releaseForm: JointForm<'pass' | 'released' | 'note'> = {
  needsReason: false,
  begin: ({ start, passNames }) => ({
    pass: passNames.find(name => name === start.pass) ?? '',
    released: '',
    note: '',
  }),
  from: ({ body }) =>
    body.kind === 'layerRelease'
      ? { pass: body.pass, released: body.released ? 'yes' : 'no', note: body.note ?? '' }
      : { pass: '', released: '', note: '' },
  problems: ({ pass, released }) => {
    const { missing } = text.value.jointEntries;
    return {
      ...(pass.trim() === '' ? { pass: missing.pass } : {}),
      ...(released === '' ? { released: missing.released } : {}),
    };
  },
  body: ({ pass, released, note }, { joint }) => ({
    kind: 'layerRelease',
    joint,
    pass: pass.trim(),
    released: released === 'yes',
    ...given('note', note),
  }),
  Fields({ draft, change, problems, context }) {
    const t = text.value.jointEntries;
    return (
      <>
        <p class="note">{t.releaseCaution}</p>
        <PassPick
          legend={t.layer}
          names={context.passNames}
          value={draft.pass}
          error={problems.pass ?? null}
          pick={pass => change({ pass })}
        />
        <Pick
          name="released"
          legend={t.releasedLegend}
          options={[
            { value: 'yes', label: t.released },
            { value: 'no', label: t.notReleased },
          ]}
          value={draft.released}
          error={problems.released ?? null}
          pick={released => change({ released })}
        />
        <TypedField
          id="release-note"
          label={t.note}
          hint={t.optional}
          value={draft.note}
          kind="text"
          max={500}
          error={null}
          type={note => change({ note })}
        />
      </>
    );
  },
};

export const holdForm: JointForm<'on'> = {
  needsReason: true,
  // The other of what it is now.
  begin: ({ state }) => ({ on: state?.onHold == null ? 'on' : 'off' }),
  from: ({ body }) => ({ on: body.kind === 'hold' ? (body.on ? 'on' : 'off') : '' }),
  problems: ({ on }) => (on === '' ? { on: text.value.jointEntries.missing.hold } : {}),
  body: ({ on }, { joint }) => ({ kind: 'hold', joint, on: on === 'on' }),
  Fields({ draft, change, problems }) {
    const t = text.value.jointEntries;
    return (
      <>
        <p class="note">{t.holdNote}</p>
        <Pick
          name="hold"
          legend={t.holdLegend}
          options={[
            { value: 'on', label: t.holdOn },
            { value: 'off', label: t.holdOff },
          ]}
          value={draft.on}
          error={problems.on ?? null}
          pick={on => change({ on })}
        />
      </>
    );
  },
};
