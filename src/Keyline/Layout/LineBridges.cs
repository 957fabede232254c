using Keyline.Planar;

namespace Keyline.Layout;

/// <summary>Lets lines run through over ground set free to those that stop right across it.</summary>
/// <remarks>
/// <para>Units: metres. Pieces of one line come first, then the pairs that need to come over least; between lines that were never one, no nearer than <see cref="BetweenStrangers"/> spacings to
/// any other, and only where neither has to turn by more than 25 degrees from its course.</para>
/// <para>Cost: the square of the line ends about the ground. Source: the cubic of Hermite; ours.</para>
/// </remarks>
internal static class LineBridges
{
    private const double Ahead = 5;
    private const double Touching = 1;
    private const double MostAcross = 150;
    private const double MostAside = 2;
    private const double BetweenStrangers = 0.75;
    private const double Step = 1;
    private static readonly double LeastAcross = Math.Cos(25 * Math.PI / 180);

    /// <summary>Joins them.</summary>
    /// <param name="growth">The lines.</param>
    /// <param name="stems">For each line given, the name it had before it was cut.</param>
    /// <param name="spacing">Distance between lines.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static void Join(LineGrowth growth, IReadOnlyList<string> stems, double spacing, CancellationToken cancellationToken)
    {
        (GrowingLine Line, bool Last, XY Place, XY Out)[] ends =
        [
            .. growth.Lines.Where(l => !l.IsClosed).SelectMany(l => (bool[])[false, true], (l, last) => (Line: l, Last: last, End: l.End(last)))
                .Where(e => growth.IsNear(e.End.Place))
                .Select(e => (e.Line, e.Last, e.End.Place, e.End.Out)),
        ];
        List<(bool Strange, double Aside, int From, int To)> pairs = [];
        for (int j = 0; j < ends.Length; j++)
        {
            for (int i = 0; i < j; i++)
            {
                XY chord = ends[j].Place - ends[i].Place, along = chord.Norm > Touching ? chord.Unit() : ends[i].Out;
                bool strange = stems[ends[i].Line.Order] != stems[ends[j].Line.Order];

                // Between ends that all but touch no freed ground has to be seen: a thing may have touched a line at a point.
                bool across = chord.Norm <= (strange ? Touching : 2 * Ahead) || (HasFreed(growth, ends[i].Place, ends[i].Out) && HasFreed(growth, ends[j].Place, ends[j].Out));
                if (!across || ends[i].Line == ends[j].Line || chord.Norm > MostAcross || ends[i].Out.Dot(along) < LeastAcross || ends[j].Out.Dot(along) > -LeastAcross)
                {
                    continue;
                }

                double aside = Math.Abs(ends[i].Out.Cross(chord)) + Math.Abs(ends[j].Out.Cross(chord));
                if (!strange || aside <= MostAside * spacing)
                {
                    pairs.Add((strange, aside, i, j));
                }
            }
        }

        int[] members = [.. ends.Select(e => e.Line.Order)];
        HashSet<int> used = [];
        foreach ((bool strange, _, int i, int j) in pairs.Order())
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (used.Contains(i) || used.Contains(j))
            {
                continue;
            }

            // Lines may have been turned or joined since.
            GrowingEnd? from = Meet(growth, members[i], ends[i].Place), to = Meet(growth, members[j], ends[j].Place);
            if (from is null || to is null || from.Line == to.Line)
            {
                continue;
            }

            XY[] course = growth.Smoothed(Bow(ends[i].Place, ends[i].Out, ends[j].Place, ends[j].Out * -1), from, to);
            if (growth.Drivable(course, false, from.Line, to.Line, (strange ? BetweenStrangers : LayoutRevision.LeastGap) * spacing).All(d => d))
            {
                growth.Put(course, from, to);
                used.UnionWith([i, j]);
            }
        }
    }

    private static bool HasFreed(LineGrowth growth, XY place, XY ahead) => growth.IsFreed(place + (ahead * Ahead)) || growth.IsFreed(place + (ahead * (Ahead / 2)));

    private static GrowingEnd? Meet(LineGrowth growth, int member, XY place)
    {
        foreach (GrowingLine line in growth.Lines.Where(l => !l.IsClosed && l.Members.Contains(member)))
        {
            if (line.End(false).Place == place)
            {
                return new GrowingEnd(line, false);
            }

            if (line.End(true).Place == place)
            {
                return new GrowingEnd(line, true);
            }
        }

        return null;
    }

    // A cubic from place to place that leaves and comes in as told.
    private static List<XY> Bow(XY a, XY outOfA, XY b, XY intoB)
    {
        double length = (b - a).Norm;
        int pieces = Math.Max(1, (int)Math.Round(length / Step));
        return
        [
            .. Enumerable.Range(0, pieces + 1).Select(k => (double)k / pieces).Select(t => (a * ((1 + (2 * t)) * (1 - t) * (1 - t))) + (outOfA * (length * t * (1 - t) * (1 - t)))
                + (b * (t * t * (3 - (2 * t)))) + (intoB * (length * t * t * (t - 1)))),
        ];
    }
}
