import { useEffect, useMemo, useState } from 'preact/hooks';
import type { NewAssignment } from '#core/messages/api';
import type { JointState, Proposal } from '#core/messages/api-journal';
import { useApp } from '../../app-context.ts';
import { ApiError } from '../../data/api-client.ts';
import { rememberedPerson } from '../../data/remembered-person.ts';
import type { Work } from '../../data/side-view.ts';
import { HoldMark } from '../../parts/hold-mark.tsx';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { storedText } from '../../text/typed-number.ts';
import { JointFindings } from '../joints/joint-findings.tsx';
import { type AssignForm, procedureKey } from './assign-form.ts';
import { useJointState } from './use-joint-state.ts';

/** What the server proposes for a rig; read again whenever something was entered or recorded. */
function useProposal(site: string, rig: string): Proposal | 'failed' | null {
  const { api, changes } = useApp();
  const [proposal, setProposal] = useState<Proposal | 'failed' | null>(null);
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    api.get<Proposal>(['proposals', site, rig]).then(
      now => {
        if (!left) setProposal(now);
      },
      (error: unknown) => {
        // A refusal says that there is nothing to propose; silence, that nobody could be asked.
        if (!left) setProposal(error instanceof ApiError && error.problem !== null ? null : 'failed');
      },
    );
    return () => {
      left = true;
    };
  }, [api, site, rig, version]);
  return proposal;
}

interface ProposalPanelProps {
  readonly site: string;
  readonly rig: string;
  readonly busy: boolean;
  /** What the rig records under now: it is not assigned a second time, which would begin another pass. */
  readonly current: Work | null;
  /** Assigns at once, by the person this device remembers. */
  readonly confirm: (assignment: NewAssignment) => void;
  readonly use: (part: Partial<AssignForm>) => void;
}

/** The next pass by the procedure and what is done, with what to know; one tap confirms it. */
export function ProposalPanel({ site, rig, busy, current, confirm, use }: ProposalPanelProps) {
  const { procedures, session } = useApp();
  const t = text.value;
  const p = t.joints.assignProposal;
  const before = useMemo(() => rememberedPerson(localStorage), []);
  const remembered = session.state.value === null ? before : session.person.value;
  const proposal = useProposal(site, rig);
  const joint = proposal === null || proposal === 'failed' ? null : proposal.joint;
  const state = useJointState(joint ?? '');
  if (proposal === null) return null;
  if (proposal === 'failed') return <p class="note">{p.failed}</p>;
  const { side, pass, procedureId, procedureRevision, why, findings } = proposal;
  if (joint === null || side === null || pass === null) {
    return (
      <section class="proposal" data-proposed="nothing">
        <h2>{p.title}</h2>
        <p>{said(why)}</p>
      </section>
    );
  }
  const procedure =
    procedureId === null || procedureRevision === null
      ? null
      : procedures.find(procedureId, procedureRevision);
  const already =
    current !== null && current.joint === joint && current.side === side && current.pass === pass;
  const diameter = diameterOf(state, procedure?.pipe?.outsideDiameterMm);
  return (
    <section class="proposal" data-proposed="work">
      <h2>{p.title}</h2>
      <p class="proposal-line">
        <bdi>{p.line(joint, t.sideOf(side), pass)}</bdi> <HoldMark joint={joint} />
      </p>
      <p>{said(why)}</p>
      <h3>{p.know}</h3>
      {findings.length === 0 ? <p>{p.nothing}</p> : <JointFindings findings={findings} joint={null} />}
      {already && <p>{p.already}</p>}
      <div class="form-actions">
        {!already && remembered !== null && procedure !== null && diameter !== null && (
          <button
            class="primary save"
            type="button"
            disabled={busy}
            onClick={() =>
              confirm({
                site,
                rig,
                author: remembered.id,
                work: {
                  joint,
                  side,
                  pass,
                  procedureId: procedure.id,
                  procedureRevision: procedure.revision,
                  outsideDiameterMm: diameter,
                  startDegrees: 0,
                },
              })
            }
          >
            {p.confirmAs(remembered.name)}
          </button>
        )}
        <button
          type="button"
          onClick={() =>
            use({
              joint,
              side,
              pass,
              ...(procedure === null ? {} : { procedure: procedureKey(procedure) }),
              ...(diameter === null ? {} : { outsideDiameter: storedText('size', diameter) }),
            })
          }
        >
          {p.use}
        </button>
      </div>
    </section>
  );
}

/** As entered for the joint; else the pipe its procedure was written for. */
const diameterOf = (state: JointState | null, ofProcedure: number | undefined): number | null =>
  state?.particulars.outsideDiameterMm ?? ofProcedure ?? null;
