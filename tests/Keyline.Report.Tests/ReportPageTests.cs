using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using Keyline.Check;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Report.Tests;

/// <summary>The report's page: what it holds, what it must not hold, and that it is the plan's.</summary>
public sealed partial class ReportPageTests
{
    // Markup, ends of the elements that texts stand in, entities, marks of direction, quotes: each must come out as letters.
    public static TheoryData<string> Hostile { get; } =
    [
        "<script>alert(1)</script>", "</script><script>alert(1)</script>", "</title></style></head><body onload=alert(1)>", "\"><img src=x onerror=alert(1)>", "' onfocus='alert(1)' autofocus='",
        "<!--", "--><b>", "]]>", "&lt;b&gt;", "{0}{1}{9}", "javascript:alert(1)", "<svg/onload=alert(1)>", "\u202Egnp.exe", "line\u2028end\u2029", "<!--part:water-->x<!--/part:water-->", "${alert(1)}", "`", "\\u003c",
    ];

    private static readonly KeylinePlan Plan = InventedPlan.Make();
    private static readonly Lazy<string> Page = new(() => Text(Content(Plan)));
    private static readonly Lazy<string> MildPage = new(() => ReportPage.With(Text(Named("Home field")), Made("a word")));

    [Fact]
    public void Write_SameContent_SameBytes()
    {
        Assert.Equal(Page.Value, Text(Content(InventedPlan.Make())));
    }

    [Fact]
    public void Write_IsSmall()
    {
        // The plan is of 16 ha; 4 MB are for 64.
        Assert.InRange(Encoding.UTF8.GetByteCount(Page.Value), 100_000, 1_000_000);
        (string script, string style) = ReportPage.OwnText;
        Assert.InRange(Encoding.UTF8.GetByteCount(script) + Encoding.UTF8.GetByteCount(style), 20_000, ReportPage.MostOwnBytes);
    }

    [Fact]
    public void Lines_DecodeToThePlansPlaces()
    {
        using JsonDocument data = Data(Page.Value);
        JsonElement root = data.RootElement;
        (double x0, double y0) = (root.GetProperty("origin")[0].GetDouble(), root.GetProperty("origin")[1].GetDouble());
        JsonElement[] lines = [.. root.GetProperty("lines").EnumerateArray()];
        Assert.Equal(Plan.Layout.Lines.Select(l => l.Id), lines.Select(l => l.GetProperty("id").GetString()));
        double worst = 0;
        for (int i = 0; i < lines.Length; i++)
        {
            LineString drawn = Decode(lines[i].GetProperty("p").GetString()!, x0, y0, root.GetProperty("step").GetDouble()), planned = Plan.Layout.Lines[i].Line;
            worst = Math.Max(worst, planned.Coordinates.Max(c => drawn.Distance(new Point(c))));
            worst = Math.Max(worst, drawn.Coordinates.Max(c => planned.Distance(new Point(c))));
            worst = Math.Max(worst, drawn.StartPoint.Distance(planned.StartPoint));
        }

        // What the coding promises, and what the report does.
        Assert.InRange(worst, 0.001, Math.Min(CoordinateCoding.MostError, 0.1));
    }

    [Fact]
    public void Grades_AreThoseOfTheGround()
    {
        using JsonDocument data = Data(Page.Value);
        foreach ((JsonElement written, RipLine line) in data.RootElement.GetProperty("lines").EnumerateArray().Zip(Plan.Layout.Lines).Take(20))
        {
            long grade = 0;
            double[] grades = [.. Whole(written.GetProperty("g").GetString()!).Select(step => (grade += step) / 10.0)];
            Assert.Equal(Math.Max(1, Math.Round(line.Line.Length / LineFalls.Stretch)), grades.Length);
            // Their sum over the length is the rise from end to end, but for the half base at either end that is measured twice.
            double rise = grades.Average() / 100 * line.Line.Length, known = Height(line.Line.EndPoint) - Height(line.Line.StartPoint);
            Assert.Equal(known, rise, 0.35);
        }

        static double Height(Point p) => Plan.Ground.HeightAt(p.X, p.Y);
    }

    [Theory, MemberData(nameof(Hostile))]
    public void Text_OfOthers_StaysText(string text)
    {
        string mild = MildPage.Value, harsh = ReportPage.With(Text(Named(text)), Made(text));
        Assert.Equal(Tags().Count(mild), Tags().Count(harsh));
        Assert.Equal(Count(mild, "<script"), Count(harsh, "<script"));
        Assert.DoesNotContain('\u202E', harsh);
        using JsonDocument data = Data(harsh);
        Assert.Equal(text, data.RootElement.GetProperty("name").GetString());
        if (text.Contains('<', StringComparison.Ordinal) || text.Contains('"', StringComparison.Ordinal))
        {
            Assert.DoesNotContain(text, Parts().Replace(harsh, ""), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Policy_LetsNothingInButItsOwnScriptAndStyle()
    {
        string page = Page.Value;
        (string script, string style) = ReportPage.OwnText;
        string policy = Regex.Match(page, "Content-Security-Policy\" content=\"([^\"]*)\"").Groups[1].Value;
        Assert.StartsWith("default-src 'none';", policy, StringComparison.Ordinal);
        Assert.Contains($"script-src 'sha256-{Hash(script)}'", policy, StringComparison.Ordinal);
        Assert.Contains($"style-src 'sha256-{Hash(style)}'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.Contains($"<script>{script}</script>", page, StringComparison.Ordinal);
        Assert.Contains($"<style>{style}</style>", page, StringComparison.Ordinal);
        Assert.DoesNotMatch(@"<[^>]*\s(on[a-z]+|style)\s*=", page.Replace(script, "", StringComparison.Ordinal).Replace(style, "", StringComparison.Ordinal));
        Assert.DoesNotContain("http:", page, StringComparison.Ordinal);
        Assert.DoesNotContain("https:", page, StringComparison.Ordinal);
        Assert.DoesNotContain("//cdn", page, StringComparison.Ordinal);

        static string Hash(string text) => Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text)));
    }

    [Fact]
    public void With_PutsWhatWasMadeSinceInItsPlace()
    {
        string bare = Page.Value, made = ReportPage.With(bare, Made("a word"));
        Assert.DoesNotContain("water-data\">{", bare, StringComparison.Ordinal);
        Assert.Contains("\"R001\":[1.5,0.25]", made, StringComparison.Ordinal);
        Assert.Contains("data-k=\"h\" data-v=\"11.4\"", made, StringComparison.Ordinal);
        Assert.Contains("data-k=\"mm\" data-v=\"0.01\"", made, StringComparison.Ordinal);
        Assert.Equal(made, ReportPage.With(made, Made("a word")));
        Assert.Equal(bare, ReportPage.With(made, null));
        Assert.Throws<FormatException>(() => ReportPage.With("<html></html>", null));
    }

    [Fact]
    public void WhatWasMadeSince_IsToldInBothLanguages_AndWhatWasNotIsNamed()
    {
        string made = ReportPage.With(Page.Value, Made("a word"));
        foreach (string id in (string[])["soil", "season", "water", "machine", "driven", "trial"])
        {
            Assert.Contains($"<section id=\"{id}\"", made, StringComparison.Ordinal);
            Assert.Contains($"<a href=\"#{id}\"", made, StringComparison.Ordinal);
            Assert.DoesNotContain($"<section id=\"{id}\"", Page.Value, StringComparison.Ordinal);
            Assert.DoesNotContain($"<a href=\"#{id}\"", Page.Value, StringComparison.Ordinal);
        }

        Assert.DoesNotContain("<section id=\"not-made\"", made, StringComparison.Ordinal);
        string none = Section(Page.Value, "not-made"), half = Section(ReportPage.With(Page.Value, Made("a word") with { Soil = null, Results = null, Trial = null }), "not-made");
        Assert.All((string[])["keyline soil", "keyline season", "keyline water", "keyline work", "keyline driven", "keyline trial"], command => Assert.Equal(2, Count(none, command)));
        Assert.Equal((2, 2, 0, 0), (Count(half, "keyline soil"), Count(half, "keyline trial"), Count(half, "keyline driven"), Count(half, "keyline water")));

        // 12 of 47 km: a quarter, rounded; the answer says so before the part does.
        Assert.Contains("data-k=\"pct\" data-v=\"25.531915\" data-d=\"0\">26 %", Section(made, "soil"), StringComparison.Ordinal);
        Assert.Contains("data-v=\"12000\"", Section(made, "answer"), StringComparison.Ordinal);
        Assert.Contains("una capa dura que el subsolado puede romper", Section(made, "soil"), StringComparison.Ordinal);
        string season = Section(made, "season");
        Assert.Contains("<bdi>23</bdi> de abril de <bdi>2027</bdi>", season, StringComparison.Ordinal);
        Assert.Contains("data-k=\"mm\" data-v=\"0.055\"", season, StringComparison.Ordinal);
        Assert.Equal((1, 0), (Count(season, "<th scope=\"row\"><span lang=\"en\">April"), Count(season, "<th scope=\"row\"><span lang=\"en\">May")));
        string driven = Section(made, "driven");
        Assert.Contains("data-v=\"50\" data-d=\"1\">50.0 %", driven, StringComparison.Ordinal);
        Assert.Contains("data-k=\"cm\" data-v=\"1.56\" data-d=\"0\">156 cm", driven, StringComparison.Ordinal);
        Assert.Contains("data-line=\"R008\"", driven, StringComparison.Ordinal);
        Assert.Equal(2, Count(driven, "<th scope=\"row\">"));
        string trial = Section(made, "trial");
        Assert.Contains("rapidez con que entra el agua", trial, StringComparison.Ordinal);
        Assert.Contains("data-v=\"2.56\"", trial, StringComparison.Ordinal);
        Assert.Contains("data-v=\"9\" data-d=\"0\">9</span> blocks", trial, StringComparison.Ordinal);
        Assert.DoesNotContain("Leave unripped", Section(ReportPage.With(Page.Value, Made("a word") with { Trial = new ReportedTrial(false, 0, 0, 4, 80, 2, [], [], []) }), "trial"), StringComparison.Ordinal);
    }

    [Fact]
    public void Findings_AreRankedByHarmAndLinkToTheirPlaces()
    {
        Assert.Equal(Enum.GetValues<FindingKind>().Order(), FindingHarm.Order.Order());
        Assert.Equal(FindingHarm.Order.OrderBy(FindingHarm.Of), FindingHarm.Order);
        string page = Page.Value;
        Envelope field = Plan.Field.Boundary.EnvelopeInternal;
        Assert.NotEmpty(Plan.Layout.Findings);
        foreach (LayoutFinding f in Plan.Layout.Findings)
        {
            Assert.Contains(
                FormattableString.Invariant($"data-x=\"{f.X - Math.Floor(field.MinX):0.#}\" data-y=\"{f.Y - Math.Floor(field.MinY):0.#}\" data-line=\"{f.LineId}\""), page, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void LonLatFit_IsNearEnoughForAPhone()
    {
        // A Mercator-like plane at 38.7 degrees north, some kilometres wide; its own inverse is known.
        const double radius = 6_378_137;
        Envelope window = new(500_000, 503_000, 4_286_000, 4_288_000);
        Coordinate origin = new(500_100, 4_286_100);
        LonLatFit fit = new(window, origin, Degrees);
        Assert.InRange(fit.Error, 0, 0.02);
        (double lon, double lat) = Degrees(501_234.5, 4_287_654.3);
        (double a, double b) = (1000 * (lon - fit.MiddleLongitude), 1000 * (lat - fit.MiddleLatitude));
        Assert.Equal(501_234.5 - origin.X, Value(fit.East, a, b), 0.05);
        Assert.Equal(4_287_654.3 - origin.Y, Value(fit.North, a, b), 0.05);
        (a, b) = ((501_234.5 - origin.X) / fit.Scale, (4_287_654.3 - origin.Y) / fit.Scale);
        Assert.Equal(lon, fit.MiddleLongitude + (Value(fit.Longitude, a, b) / 1000), 1e-6);
        Assert.Equal(lat, fit.MiddleLatitude + (Value(fit.Latitude, a, b) / 1000), 1e-6);

        static double Value(double[] t, double a, double b) => t[0] + (t[1] * a) + (t[2] * b) + (t[3] * a * a) + (t[4] * a * b) + (t[5] * b * b);

        static (double, double) Degrees(double x, double y) => (x / radius * 180 / Math.PI, ((2 * Math.Atan(Math.Exp(y / radius))) - (Math.PI / 2)) * 180 / Math.PI);
    }

    internal static ReportContent Content(KeylinePlan plan) => new()
    {
        Plan = plan,
        ToLonLat = (x, y) => (-99 + ((x - 500_000) / 86_000), 38 + ((y - 4_200_000) / 111_000)),
        CoordinateSystem = "EPSG:32614, WGS 84 / UTM zone 14N",
        MadeWith = "Keyline 0",
        Inputs = [new ReportInput("dem", "dem.tif", "00ff")],
    };

    internal static ReportContent Named(string text) => Content(InventedPlan.Make(60, 72, 8, 30, text)) with
    {
        CoordinateSystem = text,
        DatumNote = text,
        SpacingAsked = text,
        MadeWith = text,
        Inputs = [new ReportInput("dem", text, text), new ReportInput(text, text, null)],
        Assumed = [text],
        Warnings = [text],
    };

    internal static MadeSince Made(string text)
    {
        ReportedTimes times = new(11.4, 8.7, 1.7, 190.8, 1234, 77);
        return new MadeSince
        {
            Work = [new ReportedWork(0, 0.55, 2, 6, [11_000, 22_000, 33_000], [27, 54, 81], times, times, null, [text], 3)],
            Services = (text, text, text),
            Currency = text,
            Soil = new ReportedSoil([new(text, 90_000, "do-not-rip", text, ["rock", text], [text], 0.3, 0.4, 12_000), new(text, 10_000, text, text, ["pan"], ["pan: A layer that stops roots"], double.NaN, double.NaN, 30_000)], 5_000, [text]),
            Season = new ReportedSeason
            {
                Name = text, Soil = text, Depth = 0.4, Day = new DateOnly(2026, 10, 19), State = "too-dry", RainWanted = 0.055, Best = new DateOnly(2027, 4, 23), Chance = 0.65, WindowDays = 3, NeededDays = 2,
                Months = [.. Enumerable.Range(0, 12).Select(m => (0.0, m == 3 ? 13.0 : 0, m == 3 ? 24.0 : 0))], Sentences = [text],
            },
            Driven = new ReportedDriven { Planned = 52_000, Driven = 26_000, Whole = 100, InPart = 2, Left = 1, NotReached = 90, Allowed = 0.3, WithinAllowed = 0.98, Error95 = 0.04, GreatestError = 1.56, Spacing = 3, SpacingError95 = 0.3, Grade95 = 1.4, Gaps = 255, Overlaps = 203, Repeated = 12, Stretches = [new("off-line", text, 169, -1.56), new(text, text, 1, 1), new("skipped", "R008", 77, double.NaN)] },
            Trial = new ReportedTrial(true, 6, 9, 18, 80, 2, [text, "ripped"], [text], [text]),
            Results = new ReportedResults(true, new DateOnly(2027, 5, 1), [new(text, text, false, text, text, 1, 0.5, 1.5, text), new("infiltration", "mm/h", true, "ripped", "more", 2.56, 2.12, 3.1, text)], 3, new DateOnly(2028, 5, 1)),
            Storm = new ReportedStorm(text, text, [new(text, 0, 0.012, 0.013, 0.011, 0.028, 5871), new("with the plan", 52_000, 0.022, 0.021, 0.022, 0.018, 4343)], [text], [new("R001", 3, 1.5, 0.25), new(text, 1, 1, 1)]),
        };
    }

    internal static string Text(ReportContent content)
    {
        using MemoryStream stream = new();
        ReportPage.Write(stream, content);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static JsonDocument Data(string page) => JsonDocument.Parse(Regex.Match(page, "id=\"map-data\">(.*?)</script>", RegexOptions.Singleline).Groups[1].Value);

    private static LineString Decode(string text, double x0, double y0, double step)
    {
        List<Coordinate> points = [];
        long x = 0, y = 0;
        long[] numbers = [.. Whole(text)];
        for (int i = 0; i < numbers.Length; i += 2)
        {
            (x, y) = (x + numbers[i], y + numbers[i + 1]);
            points.Add(new Coordinate(x0 + (x * step), y0 + (y * step)));
        }

        return new LineString([.. points]);
    }

    // The coding as docs/formats.md tells it, written down once more.
    private static IEnumerable<long> Whole(string text)
    {
        long number = 0, times = 1;
        foreach (char c in text)
        {
            int value = c is >= 'A' and <= 'Z' ? c - 'A' : c is >= 'a' and <= 'z' ? c - 'a' + 26 : c is >= '0' and <= '9' ? c - '0' + 52 : c == '-' ? 62 : 63;
            number += (value % 32) * times;
            times *= 32;
            if (value < 32)
            {
                yield return number % 2 == 0 ? number / 2 : -((number + 1) / 2);
                (number, times) = (0, 1);
            }
        }
    }

    private static string Section(string page, string id)
    {
        int from = page.IndexOf($"<section id=\"{id}\"", StringComparison.Ordinal);
        Assert.True(from >= 0, id);
        return page[from..page.IndexOf("</section>", from, StringComparison.Ordinal)];
    }

    private static int Count(string text, string part) => Regex.Count(text, Regex.Escape(part));

    [GeneratedRegex("<[a-zA-Z/!]")]
    private static partial Regex Tags();

    [GeneratedRegex("<!--/?part:[a-z-]+-->")]
    private static partial Regex Parts();
}
