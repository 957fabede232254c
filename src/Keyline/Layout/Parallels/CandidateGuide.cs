using Keyline.Elevation;
using Keyline.Planar;
using Keyline.Terrain;

namespace Keyline.Layout.Parallels;

/// <summary>One candidate level of the design surface: its level lines near the field, faired to be driven.</summary>
internal sealed class CandidateGuide
{
    private const double SmoothingLength = 7.0;
    private const double Step = 1.0;

    public CandidateGuide(double level, IReadOnlyList<LinePath> pieces, bool isKeyline = false)
    {
        Level = level;
        Pieces = pieces;
        IsKeyline = isKeyline;
    }

    public double Level { get; }

    /// <summary>Whether it runs through a keypoint.</summary>
    public bool IsKeyline { get; }

    /// <summary>Level lines, points about 1 m apart, higher levels on the left.</summary>
    public IReadOnlyList<LinePath> Pieces { get; }

    /// <summary>Traces a level.</summary>
    /// <param name="levels">The design surface.</param>
    /// <param name="frame">Its frame.</param>
    /// <param name="level">The level.</param>
    /// <param name="near">Cells a guide may run through: the field and what lies close enough to shape lines in it.</param>
    /// <param name="minimumRadius">Least radius of turn, metres.</param>
    /// <param name="leastLength">Pieces shorter than this are dropped, metres.</param>
    /// <param name="isKeyline">Whether it runs through a keypoint.</param>
    public static CandidateGuide Trace(double[] levels, GridFrame frame, double level, bool[] near, double minimumRadius, double leastLength, bool isKeyline = false)
    {
        List<LinePath> pieces = [];
        foreach (ContourPath contour in ContourTracer.Trace(levels, frame, level))
        {
            int count = contour.Closed ? contour.Points.Length - 1 : contour.Points.Length;
            XY[] points = new XY[count];
            for (int i = 0; i < count; i++)
            {
                points[i] = new XY(contour.Points[i].X, contour.Points[i].Y);
            }

            foreach (LinePath part in Near(new LinePath(points, contour.Closed), frame, near))
            {
                if (part.Count < 3 || part.Length() < leastLength)
                {
                    continue;
                }

                LinePath smooth = PathFairing.Fair(part.Resample(Step).Smooth(SmoothingLength / Step), minimumRadius).Resample(Step);
                if (smooth.Length() >= leastLength)
                {
                    pieces.Add(smooth);
                }
            }
        }

        return new CandidateGuide(level, pieces, isKeyline);
    }

    private static List<LinePath> Near(LinePath path, GridFrame frame, bool[] near)
    {
        bool[] inside = new bool[path.Count];
        bool all = true;
        for (int i = 0; i < inside.Length; i++)
        {
            (int r, int c) = frame.NearestCellAt(path.Points[i].X, path.Points[i].Y);
            inside[i] = near[(r * frame.Columns) + c];
            all &= inside[i];
        }

        return all ? [path] : PathRuns.Where(path, inside);
    }
}
