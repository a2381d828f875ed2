import { useState } from 'preact/hooks';
import type { AlarmCause } from '#core/alarm/alarm-cause';
import { useApp } from '../../app-context.ts';
import { More } from '../../parts/more.tsx';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';

/** What an edge can say; the dashboard's own are not taken out of service. */
const EDGE_CAUSES: readonly AlarmCause[] = [
  'outOfRange',
  'passMismatch',
  'drifting',
  'noDataWithArc',
  'buffering',
  'storage',
  'clock',
  'edgeLost',
];

/** Takes one alarm of one rig out of service, with a reason; who may is the server's to say. */
export function ServiceForm() {
  const { rigs, actions } = useApp();
  const t = text.value.alarms;
  const [rig, setRig] = useState('');
  const [cause, setCause] = useState<AlarmCause | ''>('');
  const [reason, setReason] = useState('');
  const [tried, setTried] = useState(false);
  const entry = rigs.entries.value.find(({ key }) => key === rig);

  async function take(): Promise<void> {
    setTried(true);
    if (entry === undefined || cause === '' || reason.trim() === '') return;
    const { site, rig: name } = entry.rig;
    if (!(await actions.setService({ site, rig: name, cause }, reason.trim(), false))) return;
    setCause('');
    setReason('');
    setTried(false);
  }

  const isMissing = tried && (entry === undefined || cause === '' || reason.trim() === '');
  return (
    <More label={t.away.take} open={false} class="service-form form-sheet">
      <p class="hint">{t.away.roleNote}</p>
      <div class="field">
        <label for="service-rig">{t.away.rig}</label>
        <select id="service-rig" value={rig} onChange={event => setRig(event.currentTarget.value)}>
          <option value="" />
          {rigs.entries.value.map(one => (
            <option key={one.key} value={one.key}>
              {one.rig.rig}
            </option>
          ))}
        </select>
      </div>
      <div class="field">
        <label for="service-cause">{t.away.cause}</label>
        <select
          id="service-cause"
          value={cause}
          onChange={event => setCause(EDGE_CAUSES.find(one => one === event.currentTarget.value) ?? '')}
        >
          <option value="" />
          {EDGE_CAUSES.map(one => (
            <option key={one} value={one}>
              {t.cause[one]}
            </option>
          ))}
        </select>
      </div>
      <TypedField
        id="service-reason"
        label={t.away.reason}
        value={reason}
        kind="text"
        max={200}
        error={isMissing ? t.away.missing : null}
        type={setReason}
      />
      <p class="form-actions">
        <button type="button" class="primary" disabled={actions.busy.value} onClick={() => void take()}>
          {t.away.take}
        </button>
      </p>
    </More>
  );
}
