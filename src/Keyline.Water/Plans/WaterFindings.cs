using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Water;

/// <summary>What a storm found wrong with lines, with places and with what would help each of them.</summary>
/// <remarks>
/// <para>Units: metres, seconds, pascals. A place is found where the greatest flow runs faster, or pulls harder, than the soil stands: at an end, or along at least ten
/// metres of the way, of which the worst is told. Ends at an outlet are spared. A line spills in one place where five metres of it, away from its ends, give back a cubic metre
/// and a quarter of what it took.</para>
/// <para>What helps is reckoned by Manning's equation for the furrow's V, as <see cref="SafeLine"/> does. Less fall: the grade at which the flow there is stood; none below 0.2 %, and none at which the flow is deeper than the furrow, for at an end, which has no
/// ridge, it would be drawn down and run fast whatever the fall.
/// Breaks: the run that leads to the place is parted evenly, so that each piece gathers no more than is stood at the grade there; what it gathers for each metre is the most that
/// any upper part of the run gathers in the mean. None shorter than 20 m. Where neither helps alone, both together: the fall at which pieces may be longest. Each is reckoned through again before it is told. A break must leave some metres unripped, for the water to leave.</para>
/// <para>Cost: linear in places. Source: Manning's equation; the least length and fall are judgements.</para>
/// </remarks>
public static class WaterFindings
{
    /// <summary>Gentlest fall that is proposed, rise over run: a judgement, as lines are set no gentler.</summary>
    public const double GentlestFall = 0.002;

    /// <summary>Shortest piece that is proposed, metres: a judgement.</summary>
    public const double ShortestPiece = 20;

    private const double FallStep = 0.0005;
    private const double GradeBase = 20;
    private const double LeastStretch = 10;
    private const double SpillStretch = 5;
    private const double LeastSpilled = 1;
    private const double SpilledShare = 0.25;

    /// <summary>Finds them.</summary>
    /// <param name="lines">The lines that were run.</param>
    /// <param name="result">What the storm did.</param>
    /// <param name="rip">The rip that was run.</param>
    /// <param name="speed">Speed the soil stands, metres a second.</param>
    /// <param name="shear">Mean shear the soil stands, pascals.</param>
    /// <returns>In the lines' order, an end before what lies along the way.</returns>
    public static IReadOnlyList<WaterFinding> Of(IReadOnlyList<WaterLine> lines, StormResult result, Rip rip, double speed = SafeLine.FreshSoilSpeed, double shear = SafeLine.FreshSoilShear)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(rip);
        HashSet<(string, bool)> spared = [.. result.Deliveries.Select(d => (d.LineId, d.IsStart))];
        List<WaterFinding> found = [];
        for (int k = 0; k < Math.Min(lines.Count, result.Along.Count); k++)
        {
            if (result.Along[k].Count > 1)
            {
                found.AddRange(new OneLine(lines[k], [.. result.Along[k]], rip, speed, shear).Find(spared.Contains, result.Lines[k].Taken));
            }
        }

        return found;
    }

    private sealed class OneLine(WaterLine line, RipPlace[] places, Rip rip, double speed, double shear)
    {
        private readonly double _piece = line.Line.Length / places.Length;
        private readonly LengthIndexedLine _along = new(line.Line);

        public IEnumerable<WaterFinding> Find(Func<(string, bool), bool> isSpared, double taken)
        {
            // Faces lie between places; the last place has none behind it.
            int faces = places.Length - 1;
            bool[] told = new bool[faces];
            foreach (bool start in (bool[])[false, true])
            {
                int end = start ? 0 : faces - 1;
                int up = start ? 1 : -1;
                bool leads = start ? places[end].Flow < 0 : places[end].Flow > 0;
                if (!leads)
                {
                    continue;
                }

                int last = end;
                while (last >= 0 && last < faces && TooFast(last))
                {
                    told[last] = true;
                    last += up;
                }

                if (last != end && !isSpared((line.Id, start)))
                {
                    yield return Fast(WaterFindingKind.EndRunsFast, end, start ? 0 : line.Line.Length, Math.Min(end, last - up), Math.Max(end, last - up)) with { Spilled = places[start ? 0 : faces].Spilled };
                }
            }

            if (Worst(told, faces) is { } worst)
            {
                yield return Fast(WaterFindingKind.RunsFast, worst.At, (worst.At + 1) * _piece, worst.From, worst.To);
            }

            if (Spill(taken) is { } spill)
            {
                yield return spill;
            }
        }

        private bool TooFast(int face) => places[face].Speed > speed || places[face].Shear > shear;

        private double Times(int face) => Math.Max(places[face].Speed / speed, places[face].Shear / shear);

        // The worst of stretches along the way that are long enough.
        private (int At, int From, int To)? Worst(bool[] told, int faces)
        {
            (int At, int From, int To)? worst = null;
            for (int i = 0; i < faces; i++)
            {
                int from = i;
                int at = i;
                while (i < faces && !told[i] && TooFast(i))
                {
                    at = Times(i) > Times(at) ? i : at;
                    i++;
                }

                if ((i - from) * _piece >= LeastStretch && (worst is not { } w || Times(at) > Times(w.At)))
                {
                    worst = (at, from, i - 1);
                }
            }

            return worst;
        }

        private WaterFinding Fast(WaterFindingKind kind, int face, double at, int from, int to)
        {
            RipPlace p = places[face];
            int up = p.Flow < 0 ? 1 : -1;
            int top = face;
            double gathers = 0;
            while (top + up >= 0 && top + up < places.Length - 1 && places[top + up].Flow * p.Flow > 0)
            {
                top += up;
            }

            // The most that any upper part gathers in the mean; of short ones a single cell's water says too much.
            for (int i = top; i != face - up; i -= up)
            {
                double length = (Math.Abs(i - top) + 1) * _piece;
                gathers = length >= Math.Min(GradeBase, (Math.Abs(face - top) + 1) * _piece) ? Math.Max(gathers, Math.Abs(places[i].Flow) / length) : gathers;
            }

            double run = (Math.Abs(face - top) + 1) * _piece;
            double flow = Math.Abs(p.Flow);
            double grade = Math.Max(Pulling(flow, p.Speed), SteepestBed(Math.Min(face, top), Math.Max(face, top)));
            double fall = Math.Floor(SafeLine.Steepest(flow, speed, shear, rip.FurrowSide, rip.Roughness) * 1e4) / 1e4;
            double most = Math.Floor(SafeLine.Longest(grade, 1, gathers, speed, shear, rip.FurrowSide, rip.Roughness));
            int pieces = most >= ShortestPiece ? (int)Math.Ceiling(run / most) : 0;
            pieces = pieces > 1 && Stands(gathers * run / pieces, grade) ? pieces : 0;
            fall = fall >= GentlestFall && fall < grade && Stands(flow, fall) && IsHeld(flow, fall, rip.FurrowDepth + (kind == WaterFindingKind.RunsFast ? rip.RidgeHeight : 0)) ? fall : double.NaN;
            bool together = false;
            if (double.IsNaN(fall) && pieces == 0)
            {
                (double gentler, double length) = Both(gathers, grade);
                together = length >= ShortestPiece && length < run;
                (fall, pieces) = together ? (gentler, (int)Math.Ceiling(run / length)) : (fall, pieces);
            }

            Coordinate place = _along.ExtractPoint(at);
            double highEnd = (up > 0 ? top + 2 : top) * _piece;
            return new WaterFinding(kind, line.Id, place.X, place.Y)
            {
                At = at,
                Stretch = _along.ExtractLine(from * _piece, Math.Min((to + 2) * _piece, line.Line.Length)) as LineString,
                Flow = flow,
                Speed = p.Speed,
                Shear = p.Shear,
                SpeedLimit = speed,
                ShearLimit = shear,
                Run = run,
                Grade = grade,
                LessFall = fall,
                IsTogether = together,
                BreakEvery = pieces > 1 ? run / pieces : double.NaN,
                Pieces = pieces,
                Breaks = pieces > 1 ? [.. Enumerable.Range(1, pieces - 1).Select(i => _along.ExtractPoint(highEnd - (up * i * run / pieces)))] : [],
            };
        }

        // The fall below what there is at which pieces may be longest, and how long.
        private (double Fall, double Length) Both(double gathers, double grade)
        {
            (double best, double longest) = (double.NaN, 0);
            for (double fall = GentlestFall; fall < grade; fall += FallStep)
            {
                double length = Math.Floor(SafeLine.Longest(fall, 1, gathers, speed, shear, rip.FurrowSide, rip.Roughness));
                while (length >= ShortestPiece && !(Stands(gathers * length, fall) && IsHeld(gathers * length, fall, rip.FurrowDepth)))
                {
                    length--;
                }

                (best, longest) = length >= ShortestPiece && length > longest ? (fall, length) : (best, longest);
            }

            return (best, longest);
        }

        private bool IsHeld(double flow, double grade, double depth) => SafeLine.Carrying(flow, grade, rip.FurrowSide, rip.Roughness).Depth <= depth;

        private bool Stands(double flow, double grade)
        {
            FurrowFlow runs = SafeLine.Carrying(flow, grade, rip.FurrowSide, rip.Roughness);
            return runs.Speed <= speed * (1 + 1e-9) && runs.MeanShear <= shear * (1 + 1e-9);
        }

        // The grade that Manning's equation needs for a flow of a speed: at a free end it is more than the ground's.
        private double Pulling(double flow, double at)
        {
            double radius = Math.Sqrt(flow / at / (4 * (1 + (rip.FurrowSide * rip.FurrowSide)) / rip.FurrowSide));
            return Math.Pow(at * rip.Roughness / Math.Pow(radius, 2.0 / 3), 2);
        }

        private double SteepestBed(int from, int to)
        {
            int wide = Math.Max(1, (int)Math.Round(Math.Min(GradeBase, (to - from + 1) * _piece) / _piece));
            double steepest = 0;
            for (int i = from; i + wide <= Math.Min(to + 1, places.Length - 1); i++)
            {
                double grade = Math.Abs(places[i + wide].Bed - places[i].Bed) / (wide * _piece);
                steepest = grade > steepest ? grade : steepest;
            }

            return steepest;
        }

        private WaterFinding? Spill(double taken)
        {
            int wide = Math.Max(1, (int)Math.Round(SpillStretch / _piece));
            (int most, double spilled) = (-1, 0);
            for (int i = wide; i + (2 * wide) <= places.Length; i++)
            {
                double sum = 0;
                for (int j = i; j < i + wide; j++)
                {
                    sum += places[j].Spilled;
                }

                (most, spilled) = sum > spilled ? (i, sum) : (most, spilled);
            }

            if (most < 0 || spilled < LeastSpilled || spilled < SpilledShare * taken)
            {
                return null;
            }

            double at = (most + (wide / 2.0)) * _piece;
            Coordinate place = _along.ExtractPoint(at);
            int middle = Math.Min((int)(at / _piece), places.Length - 2);
            return new WaterFinding(WaterFindingKind.SpillsInOnePlace, line.Id, place.X, place.Y) { At = at, Spilled = spilled, Flow = Math.Max(Math.Abs(places[middle].Flow), Math.Abs(places[Math.Max(middle - 1, 0)].Flow)) };
        }
    }
}
