using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Chooses, for each cell, the neighbour that keeps the path from its head nearest the true fall line.</summary>
/// <remarks>
/// <para>Units: metres for heights, cells for the path's distance from the fall line. Missing: never stepped to.</para>
/// <para>Promises: steps only to cells flooded earlier, so no loop can form; on a plane a path stays within a cell of the
/// fall line, where the steepest of eight neighbours would run off along the grid.</para>
/// <para>Cost: O(n), 12 bytes a cell while it runs.</para>
/// <para>Source: least transversal deviation, Orlandini, Moretti, Franchini, Aldighieri and Testa 2003, Water Resources
/// Research 39(6), 1144, but where ways meet their deviations are averaged by the ground they drain instead of the longest
/// one's being kept: else ways that come to a floor in step begin anew each time and run on beside it. The eight facets of Tarboton 1997, Water Resources Research 33(2), 309-319.</para>
/// </remarks>
internal static class FallLineSteps
{
    /// <summary>Turns every cell that does not drain out toward one of the two cells of its steepest facet.</summary>
    /// <param name="f">The grid.</param>
    /// <param name="z">Heights.</param>
    /// <param name="downstream">The cell each drains to; changed in place.</param>
    /// <param name="rank">Place of each cell in the order of flooding.</param>
    /// <param name="flooded">Cells in the order of flooding, outlets first.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static void Straighten(GridFrame f, float[] z, int[] downstream, int[] rank, int[] flooded, CancellationToken cancellationToken)
    {
        float[] aside = new float[z.Length]; // how far, in cells, the ways to here have come off their fall lines on the whole, + to the right
        int[] gathered = new int[z.Length];
        for (int i = flooded.Length - 1; i >= 0; i--)
        {
            cancellationToken.ThrowIfCancellationRequested(i);
            int at = flooded[i];
            gathered[at]++;
            aside[at] /= gathered[at];
            if (downstream[at] == -1)
            {
                continue;
            }

            int row = at / f.Columns;
            int column = at - (row * f.Columns);
            double steepest = 0;
            int to = downstream[at];
            float off = aside[at];
            for (int facet = 0; facet < 8; facet++)
            {
                // Facets lie between a straight neighbour and the diagonal one to its right or left.
                int straight = (facet >> 1) * 2;
                int turn = (facet & 1) == 0 ? 1 : -1;
                int a = Neighbours.At(f, row, column, straight);
                int b = Neighbours.At(f, row, column, (straight + turn) & 7);
                bool openA = a >= 0 && rank[a] < rank[at];
                bool openB = b >= 0 && rank[b] < rank[at];
                double s1 = openA ? z[at] - (double)z[a] : 0;
                double s2 = openA && openB ? z[a] - (double)z[b] : -1;
                if (openA && openB && s1 > 0 && s2 > 0 && s2 < s1)
                {
                    double slope = Math.Sqrt((s1 * s1) + (s2 * s2));
                    if (slope > steepest)
                    {
                        // The straight step leaves the fall line by sin r to one side, the diagonal by sqrt2 sin(45 - r) to the other.
                        float viaA = aside[at] - (float)(turn * s2 / slope);
                        float viaB = aside[at] + (float)(turn * (s1 - s2) / slope);
                        steepest = slope;
                        bool takeA = Math.Abs(viaA) <= Math.Abs(viaB);
                        to = takeA ? a : b;
                        off = takeA ? viaA : viaB;
                    }
                }
                else if (openA && s1 > steepest)
                {
                    (steepest, to, off) = (s1, a, aside[at]);
                }

                double diagonal = openB ? (z[at] - (double)z[b]) / Math.Sqrt(2) : 0;
                if (diagonal > steepest)
                {
                    (steepest, to, off) = (diagonal, b, aside[at]);
                }
            }

            downstream[at] = to;
            gathered[to] += gathered[at];
            aside[to] += off * gathered[at];
        }
    }
}
