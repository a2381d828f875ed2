import { useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import type { SideView } from '../../data/side-view.ts';
import { whenText } from '../../parts/when-text.ts';
import { said as inWords } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { CheckState } from '../verify/check-state.tsx';
import { correctionText } from '../verify/correction-text.ts';
import { outcomeText } from '../verify/result-texts.ts';
import { verifyUrl } from '../verify/verify-route.ts';
import { CarriageForm } from './carriage-form.tsx';
import { findingsNow, pageLink, type ReadyRig } from './ready-rigs.ts';

interface RigReadyProps {
  readonly rig: ReadyRig;
  readonly view: SideView | null;
  readonly nameOf: (id: string) => string;
}

/** One rig: what is missing first, then everything it has. */
export function RigReady({ rig: { key, site, rig, now }, view, nameOf }: RigReadyProps) {
  const { readiness } = useApp();
  const [naming, setNaming] = useState(false);
  const t = text.value;
  const r = t.ready;
  const v = t.verify;
  const id = `ready-${key.replace('/', '-')}`;
  const said = readiness.of(site, rig);
  const findings = now === null || said === null ? [] : findingsNow(t, said, now);
  return (
    <section class="rig-ready" aria-labelledby={id}>
      <header>
        <h2 id={id}>{t.rig(rig)}</h2>
        <p class="ready-word" data-ready={now === null ? 'unknown' : now.ready ? 'yes' : 'no'}>
          {now === null ? v.readinessUnknown : now.ready ? v.ready : v.notReady}
        </p>
      </header>
      {now === null ? (
        <p>{r.unknown}</p>
      ) : (
        <>
          <h3>{r.missingTitle}</h3>
          {findings.length === 0 ? (
            <p>{r.nothingMissing}</p>
          ) : (
            <ul class="findings">
              {findings.map(finding => {
                const link = pageLink(finding.link);
                return (
                  <li key={`${finding.code} ${finding.text}`}>
                    <span>{inWords(finding.text)}</span>{' '}
                    {link === null ? (
                      <strong>{inWords(finding.action)}</strong>
                    ) : (
                      <a class="button" href={link}>
                        {inWords(finding.action)}
                        <span class="sr-only"> {t.rig(rig)}</span>
                      </a>
                    )}
                  </li>
                );
              })}
            </ul>
          )}
          <h3>{r.checksTitle}</h3>
          <table class="ready-checks">
            <thead>
              <tr>
                <th scope="col">{r.columns.check}</th>
                <th scope="col">{r.columns.state}</th>
                <th scope="col">{r.columns.last}</th>
                <th scope="col">{r.columns.until}</th>
              </tr>
            </thead>
            <tbody>
              {now.checks.map(check => (
                <tr key={check.check}>
                  <th scope="row">{v.names[check.check]}</th>
                  <td>
                    <CheckState state={check.state} />
                  </td>
                  <td data-label={r.columns.last}>
                    {check.last === null
                      ? v.never
                      : `${outcomeText(check.last.outcome)}. ${v.byAt(nameOf(check.last.author), whenText(check.last.at))}`}
                  </td>
                  <td data-label={r.columns.until}>
                    {check.dueAt === null
                      ? check.last === null
                        ? '–'
                        : r.noInterval
                      : whenText(check.dueAt)}
                    {check.why !== null && ` – ${inWords(check.why)}`}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          <dl class="result-rows">
            <div>
              <dt>{r.corrections}</dt>
              <dd>
                {now.corrections.length === 0
                  ? v.correctionsNone
                  : now.corrections.map(one => correctionText(one, nameOf)).join('; ')}
              </dd>
            </div>
            <div>
              <dt>{r.carriage}</dt>
              <dd>
                {now.carriageId ?? r.carriageNone}{' '}
                <button type="button" aria-expanded={naming} onClick={() => setNaming(!naming)}>
                  {r.carriageChange}
                  <span class="sr-only"> {t.rig(rig)}</span>
                </button>
                {naming && (
                  <CarriageForm site={site} rig={rig} now={now.carriageId} onSaved={() => setNaming(false)} />
                )}
              </dd>
            </div>
            <div>
              <dt>{r.clock}</dt>
              <dd>{clockText(view)}</dd>
            </div>
            <div>
              <dt>{r.work}</dt>
              <dd>
                {view?.work ? `${view.work.joint}, ${t.sideOf(view.work.side)}, ${view.work.pass}` : t.noWork}
              </dd>
            </div>
          </dl>
          <p class="no-print">
            <a class="button" href={verifyUrl({ site, rig, check: null })}>
              {r.checkRig(t.rig(rig))}
            </a>
          </p>
        </>
      )}
    </section>
  );
}

function clockText(view: SideView | null): string {
  const t = text.value;
  if (view === null || view.clock === null || view.feed.cause !== null) return t.ready.clockNone;
  const { state, offsetMs } = view.clock;
  const word = t.trust.clockState[state];
  return offsetMs === null ? word : `${word}, ${t.ready.clockOffset(format().fixed(offsetMs, 0))}`;
}
