/** What is wrong at the truck itself, as long as it is true: shown on every screen, in /readyz and in /metrics. */
import { TRUCK_CAUSES, type TruckCondition, type TruckState } from '#core/messages/truck';

export type TruckCause = TruckCondition['cause'];
export type Stated = Pick<TruckCondition, 'priority' | 'text' | 'action'>;
export type SetCondition = (cause: TruckCause, stated: Stated | null) => void;

export class TruckConditions {
  private readonly now: () => Date;
  private readonly standing = new Map<TruckCause, TruckCondition>();
  /** Called with the whole list whenever it has changed. */
  onChange: (state: TruckState) => void = () => {};

  constructor(now: () => Date) {
    this.now = now;
  }

  /** Says that `cause` is true now, or with null that it is not. Its beginning stays that of its first time. */
  readonly set: SetCondition = (cause, stated) => {
    const known = this.standing.get(cause);
    if (!stated) {
      if (this.standing.delete(cause)) this.onChange(this.state());
      return;
    }
    const same =
      known?.text === stated.text && known.action === stated.action && known.priority === stated.priority;
    if (same) return;
    this.standing.set(cause, { cause, since: known?.since ?? this.now().toISOString(), ...stated });
    this.onChange(this.state());
  };

  /** The gravest first. */
  state(): TruckState {
    const rank = { high: 0, medium: 1, low: 2 };
    const conditions = TRUCK_CAUSES.flatMap(cause => this.standing.get(cause) ?? []);
    return { conditions: conditions.sort((a, b) => rank[a.priority] - rank[b.priority]) };
  }
}
