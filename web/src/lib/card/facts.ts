/** What a card says of the thing that is picked. */
import type { Picture, PictureConductor, PictureJoint, PictureLoad, PicturePoint } from '../api/picture';
import type { Branch } from '../plan/branches';

export type Subject =
  | { readonly kind: 'conductor'; readonly conductor: PictureConductor; readonly branch: Branch }
  | { readonly kind: 'joint'; readonly joint: PictureJoint; readonly branch: Branch | null }
  | { readonly kind: 'inline'; readonly id: string; readonly make: string; readonly branch: Branch }
  | { readonly kind: 'metal'; readonly id: string; readonly branch: Branch }
  | {
      readonly kind: 'incidental';
      readonly id: string;
      readonly make: string;
      readonly branch: Branch;
      readonly damage: number | null;
    }
  | { readonly kind: 'load'; readonly load: PictureLoad }
  | { readonly kind: 'battery' | 'source'; readonly id: string }
  | { readonly kind: 'point'; readonly point: PicturePoint };

/** The thing of that name; null when the vehicle has none. */
export function subjectOf(id: string | null, picture: Picture, branches: ReadonlyMap<string, Branch>): Subject | null {
  if (id === null) return null;
  const branch = branches.get(id) ?? null;
  const conductor = picture.conductors.find((one) => one.id === id);
  if (conductor && branch) return { kind: 'conductor', conductor, branch };
  const joint = picture.joints.find((one) => one.id === id);
  if (joint) return { kind: 'joint', joint, branch: branches.get(joint.conductor ?? joint.id) ?? null };
  const inline = picture.inline.find((one) => one.id === id);
  if (inline && branch) return { kind: 'inline', id, make: inline.make, branch };
  const other = picture.incidental.find((one) => one.id === id);
  if (other && branch) return { kind: 'incidental', id, make: other.kind, branch, damage: other.damage_amps };
  if (branch?.kind === 'stretch') return { kind: 'metal', id, branch };
  const load = picture.loads.find((one) => one.id === id);
  if (load) return { kind: 'load', load };
  if (picture.batteries.some((one) => one.id === id)) return { kind: 'battery', id };
  if (picture.sources.some((one) => one.id === id)) return { kind: 'source', id };
  const point = picture.points.find((one) => one.id === id);
  return point ? { kind: 'point', point } : null;
}
