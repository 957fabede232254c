using Keyline.Elevation;
using Keyline.Landform;
using NetTopologySuite.Algorithm.Locate;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>What the land is, in words, with its slopes and the way it faces; its valleys with their profiles and keypoints.</summary>
internal static class LandSection
{
    // Profiles are for those who decide by them: the valleys with a keypoint, the nearest to the field first.
    private const int FirstProfiles = 4;
    private const int MostProfiles = 8;
    private const int Ways = 8;

    // Percent. Ours: over a spacing of 3 m that is 6 cm, about what a survey from the air errs by.
    private const double NearlyFlat = 2;

    private static readonly double[] SlopeEdges = [0, 1, 2, 4, 6, 8, 10, 15, 20, 30, double.PositiveInfinity];
    private static readonly Phrase[] Compass = [Phrases.North, Phrases.NorthEast, Phrases.East, Phrases.SouthEast, Phrases.South, Phrases.SouthWest, Phrases.West, Phrases.NorthWest];

    public static void WriteProfiles(HtmlParts page, ReportContent content, Coordinate origin) => page.Section("valleys", Phrases.Profiles, p =>
    {
        LandformReading land = content.Plan.Landform;
        Geometry field = content.Plan.Field.Boundary;
        ValleyLine[] all = [.. land.Valleys.Where(v => v.Profile is not null)];
        ValleyLine[] shown = [.. all.Where(v => land.Keypoints.Any(k => k.ValleyNumber == v.Number) || (v.Kind != ValleyKind.Minor && v.Line.Intersects(field)))
            .OrderBy(v => land.Keypoints.Any(k => k.ValleyNumber == v.Number) ? 0 : 1).ThenBy(v => v.Line.Distance(field)).ThenBy(v => v.Number).Take(MostProfiles)];
        if (shown.Length == 0)
        {
            p.Say(Phrases.ProfilesNone);
            return;
        }

        p.Say(Phrases.ProfilesIntro).Add("<div class=\"cards\">");
        for (int i = 0; i < shown.Length; i++)
        {
            ValleyLine valley = shown[i];
            if (i == FirstProfiles && shown.Length > FirstProfiles + 1)
            {
                p.Add($"</div><details><summary>{PageText.Say(Phrases.ProfilesFolded, shown.Length - FirstProfiles)}</summary><div class=\"cards\">");
            }

            Keypoint? k = land.Keypoints.FirstOrDefault(one => one.ValleyNumber == valley.Number);
            p.Add("<figure class=\"card\">").Add(ProfileDrawing.Draw(valley, k)).Add("<figcaption>").Heading(Phrases.ValleyTitle, valley.Number);
            _ = double.IsFinite(valley.Fall) ? p.Say(Phrases.ValleyText, Measure.Length(valley.Length), Measure.Length(valley.Fall, 1), Measure.Area(valley.CatchmentArea))
                : p.Say(Phrases.ValleyTextLevel, Measure.Length(valley.Length), Measure.Area(valley.CatchmentArea));
            p.Add($"<p>{PageText.Say(Break(k))}</p>");
            if (k is not null)
            {
                p.Add($"<p>{HtmlParts.Place(k.Location.X - origin.X, k.Location.Y - origin.Y, "", PageText.Hint(Phrases.ShowOnMap))}</p>");
            }

            p.Add("</figcaption></figure>");
        }

        p.Add(shown.Length > FirstProfiles + 1 ? "</div></details>" : "</div>");
        if (all.Length > shown.Length)
        {
            p.Say(Phrases.ProfilesMore, all.Length - shown.Length);
        }
    });

    public static void Write(HtmlParts page, ReportContent content) => page.Section("land", Phrases.Land, p =>
    {
        p.List(Words(content.Plan.Landform, content.Plan.Field.Boundary));
        (double[] slopes, double[] ways) = Spread(content.Plan);
        if (slopes.Sum() > 0)
        {
            p.Add("<div class=\"cards\"><figure class=\"card\">").Heading(Phrases.SlopeTitle)
                .Add(Chart.Bars(Phrases.SlopeTitle, SlopeEdges, slopes, v => Measure.Percent(v, 0), v => Measure.Share(v, 0), Phrases.ShareOfField, Phrases.SlopeAcross)).Add("</figure><figure class=\"card\">").Heading(Phrases.AspectTitle).Add("<ul class=\"ways\">");
            for (int i = 0; i < Ways; i++)
            {
                p.Add(FormattableString.Invariant($"<li><span>{PageText.Say(Compass[i])}</span><meter min=\"0\" max=\"100\" value=\"{100 * ways[i]:0.#}\" aria-hidden=\"true\"></meter><span>{PageText.Quantity(Measure.Share(ways[i], 0))}</span></li>"));
            }

            p.Add("</ul></figure></div>");
        }
    });

    private static Statement Break(Keypoint? k) => k is null ? new Statement(Phrases.KeypointNone) : new Statement(
        k.IsPinned ? Phrases.KeypointFlagged : k.Class == KeypointClass.Clear ? Phrases.KeypointClear : Phrases.KeypointWeak,
        Measure.Length(k.DistanceFromHead), Measure.Length(k.Location.Coordinate.Z, 1), Measure.Percent(k.SlopeAbove), Measure.Percent(k.SlopeBelow),
        Measure.Length(k.DistanceFromHead - k.PlaceFrom), Measure.Length(k.PlaceTo - k.DistanceFromHead));

    private static List<Statement> Words(LandformReading land, Geometry field)
    {
        LandShape shape = land.Shape;
        Phrase kind = shape.Kind switch
        {
            LandShapeKind.Valleys => land.Keypoints.Any(k => k.Class == KeypointClass.Clear) ? Phrases.LandValleys : Phrases.LandValleysWeak,
            LandShapeKind.ValleysWithoutKeypoint => Phrases.LandValleysWithoutKeypoint,
            LandShapeKind.Plain => Phrases.LandPlain,
            LandShapeKind.Slope => Phrases.LandSlope,
            LandShapeKind.Dome => Phrases.LandDome,
            LandShapeKind.Fan => Phrases.LandFan,
            LandShapeKind.Hollow => Phrases.LandHollow,
            _ => Phrases.LandRolling,
        };
        List<Statement> said = [new(kind, Measure.Percent(shape.MeanSlope), Measure.Length(shape.Relief))];
        if (shape.MeanSlope < NearlyFlat)
        {
            said.Add(new Statement(Phrases.LandNearlyFlat));
        }

        if (double.IsFinite(shape.FallDirection) && shape.OneWay > 0.4)
        {
            said.Add(new Statement(Phrases.LandFallsTo, Compass[(int)Math.Round(shape.FallDirection / 45) % Ways]));
        }

        said.Add(new Statement(Phrases.LandCounts, land.Valleys.Count(v => v.Kind == ValleyKind.Main), land.Valleys.Count(v => v.IsPrimary), land.Valleys.Count(v => v.Kind == ValleyKind.Minor), land.Ridges.Count));
        if (land.Valleys.MaxBy(v => v.Length) is { } longest)
        {
            said.Add(double.IsFinite(longest.Fall)
                ? new Statement(Phrases.LandLongest, longest.Number, Measure.Length(longest.Length), Measure.Length(longest.Fall, 1), Measure.Area(longest.CatchmentArea))
                : new Statement(Phrases.LandLongestLevel, longest.Number, Measure.Length(longest.Length), Measure.Area(longest.CatchmentArea)));
        }

        int[] without = [.. land.Valleys.Where(v => v.Kind != ValleyKind.Minor && v.Line.Intersects(field) && land.Keypoints.All(k => k.ValleyNumber != v.Number)).Select(v => v.Number)];
        if (without.Length > 0)
        {
            said.Add(new Statement(Phrases.LandWithout, Numbers(without)));
        }

        said.AddRange(land.CommonKeylines.Select(c => new Statement(Phrases.LandShared, Numbers(c.ValleyNumbers), Measure.Length(c.Height, 1), Measure.Length(c.Spread, 1))));
        said.AddRange(land.Sequences.Select(s => new Statement(s.Rises ? Phrases.LandRises : Phrases.LandFallsBack, s.RidgeNumber, Numbers(s.ValleyNumbers))));
        said.AddRange(land.Valleys.Where(v => v.End == ValleyEnd.Hollow && v.Line.Intersects(field)).Select(v => new Statement(Phrases.LandHollowEnd, v.Number)));
        if (land.UnplacedPins.Count > 0)
        {
            said.Add(new Statement(Phrases.LandPinFar, land.UnplacedPins.Count));
        }

        if (land.GeneralGuide is { } guide)
        {
            said.Add(new Statement(Phrases.LandGeneral, Measure.Length(guide.Coordinate.Z, 1), Measure.Length(guide.Length)));
        }

        said.Add(new Statement(Phrases.LandCaution));
        return said;
    }

    private static string Numbers(IReadOnlyList<int> numbers) => string.Join(", ", numbers);

    // Shares of the field by slope and by the way it faces, on the smoothed ground.
    private static (double[] Slopes, double[] Ways) Spread(KeylinePlan plan)
    {
        ElevationGrid ground = plan.Smoothed;
        GridFrame f = ground.Frame;
        Envelope box = plan.Field.Boundary.EnvelopeInternal;
        IndexedPointInAreaLocator inside = new(plan.Field.Boundary);
        int top = Math.Max(1, (int)f.RowAt(box.MaxY)), bottom = Math.Min(f.Rows - 2, (int)f.RowAt(box.MinY)), left = Math.Max(1, (int)f.ColumnAt(box.MinX)), right = Math.Min(f.Columns - 2, (int)f.ColumnAt(box.MaxX));
        // Every so many cells: shares need no more than some ten thousand places.
        int every = Math.Max(1, (int)Math.Sqrt((bottom - top + 1.0) * (right - left + 1.0) / 20_000));
        double[] slopes = new double[SlopeEdges.Length - 1], ways = new double[Ways];
        int cells = 0;
        for (int r = top; r <= bottom; r += every)
        {
            for (int c = left; c <= right; c += every)
            {
                double x = (ground[r, c + 1] - (double)ground[r, c - 1]) / (2 * f.CellSize), y = (ground[r - 1, c] - (double)ground[r + 1, c]) / (2 * f.CellSize), slope = 100 * Math.Sqrt((x * x) + (y * y));
                if (double.IsNaN(slope) || inside.Locate(new Coordinate(f.West + ((c + 0.5) * f.CellSize), f.North - ((r + 0.5) * f.CellSize))) == Location.Exterior)
                {
                    continue;
                }

                cells++;
                slopes[Array.FindLastIndex(SlopeEdges, e => e <= slope)]++;
                double way = ((Math.Atan2(-x, -y) * 180 / Math.PI) + 360) % 360;
                ways[(int)Math.Round(way / 45) % Ways]++;
            }
        }

        return cells == 0 ? (slopes, ways) : ([.. slopes.Select(s => s / cells)], [.. ways.Select(w => w / cells)]);
    }
}
