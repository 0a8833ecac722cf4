declare module "cdt2d" {
  /** Triangles as corner indices; `edges` are kept; `exterior: false` drops what lies outside them. */
  export default function cdt2d(
    points: readonly (readonly [number, number])[],
    edges: readonly (readonly [number, number])[],
    options: { readonly exterior?: boolean },
  ): number[][];
}
