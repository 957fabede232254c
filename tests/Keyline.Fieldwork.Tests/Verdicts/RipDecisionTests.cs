using Keyline.Field;

namespace Keyline.Fieldwork.Tests;

/// <summary>Soils and sites with the verdict an adviser would give, and where that comes from.</summary>
public sealed class RipDecisionTests
{
    // A site on which nothing speaks against ripping, for the others to differ from.
    private const string Good = "texture=loam, pan_depth_cm=22, pan_bottom_cm=32, rock_depth_cm=150, drainage=well, esp_pct=2, emerson_class=6, salinity_ds_m=0.5, cover_pct=70, slope_pct=6";

    [Theory]

    // A pan within reach, softer soil below, nothing against it. NRCS 324 Deep Tillage (Arizona 2008, Maine 2014).
    [InlineData("1", "", "rip", "pan", "Wakelin-King 2011")]
    [InlineData("2", "texture=clay loam", "rip", "pan", "Wakelin-King 2011")]
    [InlineData("3", "texture=silt loam, strength_kpa=2600", "rip", "pan", "Penn State and Cornell")]

    // Hard-setting ridges and claypans: Wakelin-King 2011; how deep was not measured, so a strip first.
    [InlineData("4", "hard_setting=yes, pan_depth_cm=, pan_bottom_cm=", "test-strip-first", "pan", "Wakelin-King 2011")]
    [InlineData("5", "hard_setting=yes", "rip", "pan", "Wakelin-King 2011")]

    // Penetrometer at field capacity, Penn State and Cornell: below 200 psi nothing, 200 to 300 slowed, above 300 stopped.
    [InlineData("6", "strength_psi=150", "do-not-rip", "pan", "Penn State and Cornell")]
    [InlineData("7", "strength_psi=250", "test-strip-first", "pan", "Penn State and Cornell")]
    [InlineData("8", "strength_psi=310", "rip", "pan", "Penn State and Cornell")]
    [InlineData("9", "pan=no, pan_depth_cm=, pan_bottom_cm=", "do-not-rip", "pan", "Penn State and Cornell")]
    [InlineData("10", "pan_depth_cm=, pan_bottom_cm=", "test-strip-first", "pan", "Penn State and Cornell")]

    // Only the upper edge is known: NRCS 324 counts from below the layer.
    [InlineData("11", "pan_bottom_cm=", "test-strip-first", "depth", "Standard 324")]

    // Sodium: sodic from 6 % (Northcote and Skene 1972), USDA Handbook 60 (1954) 15 %.
    [InlineData("12", "esp_pct=6", "rip", "pan", "Northcote")]
    [InlineData("13", "esp_pct=8", "test-strip-first", "sodium", "Northcote")]
    [InlineData("14", "esp_pct=15", "test-strip-first", "sodium", "Northcote")]
    [InlineData("15", "esp_pct=18", "rip-after", "sodium", "Handbook 60")]

    // Emerson 1967: classes 1 and 2 disperse by themselves, 3 when worked wet.
    [InlineData("16", "emerson_class=1", "do-not-rip", "sodium", "Emerson")]
    [InlineData("17", "emerson_class=2, esp_pct=18", "do-not-rip", "sodium", "Emerson")]
    [InlineData("18", "emerson_class=3", "test-strip-first", "sodium", "Emerson")]
    [InlineData("19", "emerson_class=4", "rip", "pan", "Emerson")]

    // Clay that nobody tried in water: judgement. The same loam needs no test.
    [InlineData("20", "texture=clay, esp_pct=, emerson_class=", "test-strip-first", "sodium", "Emerson's, 1967")]
    [InlineData("21", "esp_pct=, emerson_class=", "rip", "pan", "judgement, no source")]

    // Sands take water in as they are (deep ripping trials on Australian sands): excluded for water.
    [InlineData("22", "texture=sand, strength_kpa=3000", "do-not-rip", "sand", "Australian sands")]
    [InlineData("23", "texture=loamy sand", "do-not-rip", "sand", "Australian sands")]
    [InlineData("24", "texture=loamy sand, ksat_mm_h=20, strength_kpa=2800", "rip", "pan", "judgement, no source")]
    [InlineData("25", "texture=loamy sand, ksat_mm_h=20", "do-not-rip", "sand", "Australian sands")]

    // Cracking clay: GRDC guides, trials either way.
    [InlineData("26", "texture=clay, cracking=yes", "test-strip-first", "clay", "Grains Research and Development Corporation")]
    [InlineData("27", "texture=clay, cracking=yes, pan=no, pan_depth_cm=, pan_bottom_cm=", "do-not-rip", "clay", "Grains Research and Development Corporation")]
    [InlineData("28", "texture=clay, cracking=yes, pan_depth_cm=, pan_bottom_cm=", "do-not-rip", "clay", "Grains Research and Development Corporation")]

    // Shallow rock: Gifford 1977, 1978; ten centimetres above rock a judgement: tip at 34.5, rock at 44 leaves 9.5.
    [InlineData("29", "rock_depth_cm=35", "do-not-rip", "rock", "Gifford")]
    [InlineData("30", "rock_depth_cm=44", "do-not-rip", "depth", "judgement, no source")]
    [InlineData("31", "rock_depth_cm=45", "rip", "pan", "judgement, no source")]

    // Wet ground: Franklin and others 2007, runoff rose on poorly drained fields.
    [InlineData("32", "drainage=Very poorly drained", "do-not-rip", "drainage", "Franklin and others 2007")]
    [InlineData("33", "drainage=Poorly drained", "do-not-rip", "drainage", "Franklin and others 2007")]
    [InlineData("34", "drainage=Somewhat poorly drained", "rip-after", "drainage", "Franklin and others 2007")]
    [InlineData("35", "drainage=Moderately well drained", "rip", "pan", "Franklin and others 2007")]

    // NRCS 548: below 30 % (1995), below 15 % in Arizona.
    [InlineData("36", "slope_pct=31", "do-not-rip", "slope", "Standard 548, Grazing Land Mechanical Treatment, 1995")]
    [InlineData("37", "slope_pct=16", "test-strip-first", "slope", "Standard 548, Arizona")]
    [InlineData("38", "slope_pct=15", "rip", "pan", "Standard 548, Arizona")]

    // Cover: rest first (NRCS 548; 40 % from memory).
    [InlineData("39", "cover_pct=20", "rip-after", "cover", "Standard 548")]
    [InlineData("40", "cover_pct=35", "rip-after", "cover", "Standard 548")]
    [InlineData("41", "cover_pct=40", "rip", "pan", "40 to 60 % is the usual threshold of erosion, from memory")]

    // Weeds: NRCS 548; Haferkamp and others 1993. Seeps: guidance on saline seeps. Salt: Handbook 60.
    [InlineData("42", "weeds=yes", "rip-after", "weeds", "Haferkamp")]
    [InlineData("43", "feeds_seep=yes", "do-not-rip", "salt", "seep control")]
    [InlineData("44", "salinity_ds_m=5", "test-strip-first", "salt", "Handbook 60")]
    public void Site_HasTheVerdictOfAnAdviser(string site, string differs, string verdict, string rule, string source)
    {
        SiteVerdict found = RipDecision.Of(Site.Facts(Merge(differs)));
        Assert.True(verdict == found.Word, $"site {site}: {found.Word}: {string.Join(" | ", found.Reasons.Select(r => r.Sentence))}");
        Assert.Equal(rule, found.Reasons[0].Rule);

        // The source that decides; where the row shows a bound that is not passed, the source of that bound.
        string[] sources = verdict == "rip" ? [found.Reasons[0].Source, .. new RipRules().Settings().Select(s => s.Source)] : [found.Reasons[0].Source];
        Assert.Contains(sources, s => s.Contains(source, StringComparison.Ordinal));
        Assert.All(found.Reasons, r => Assert.True(r.Sentence.Length > 20 && r.Source.Length > 8));
        Assert.Equal(found.Reasons.Max(r => r.Says), found.Verdict);
        Assert.Equal(verdict == "rip-after", found.First != FirstSteps.None);
        Assert.True(verdict != "do-not-rip" || found.Depth is null);
    }

    [Fact]
    public void EveryNoticeRule_IsDatedOrSaysThatItIsNot() => Assert.All(NoticeRule.Known, r => Assert.Matches("(19|20)[0-9]{2}|undated", r.Source));

    [Fact]
    public void NothingKnown_IsNeverTakenAsGood()
    {
        SiteVerdict found = RipDecision.Of(new SiteFacts());
        Assert.Equal("test-strip-first", found.Word);
        Assert.Null(found.Depth);
        Assert.Equal(["depth to rock", "drainage", "texture", "sodium or dispersion (a clod in a jar of rain water tells)", "salt", "slope", "cover"], found.Unknown);
        Assert.Empty(RipDecision.Of(Site.Facts(Good)).Unknown);
    }

    [Fact]
    public void SeveralSteps_AreAllNamed()
    {
        SiteVerdict found = RipDecision.Of(Site.Facts(Merge("esp_pct=20, cover_pct=15, drainage=imperfect, weeds=yes")));
        Assert.Equal("rip after rest and cover, gypsum, draining, weed control", found.Words);
        Assert.Equal(FirstSteps.None, RipDecision.Of(Site.Facts(Merge("esp_pct=20, rock_depth_cm=10"))).First);
    }

    // Pan to 32 cm: an inch to 5 cm below it (NRCS 324; common practice), 34.5 to 37 cm.
    [Theory]
    [InlineData("", 0.345, 0.37)]
    [InlineData("rock_depth_cm=46", 0.345, 0.36)]
    [InlineData("pan_bottom_cm=40", 0.425, 0.45)]
    [InlineData("pan_bottom_cm=", 0.245, 0.27)]
    public void Depth_IsJustBelowThePan(string differs, double least, double most)
    {
        RipDepth depth = RipDecision.Of(Site.Facts(Merge(differs))).Depth!;
        Assert.Equal(least, depth.Least, 1e-12);
        Assert.Equal(most, depth.Most, 1e-12);
        Assert.Contains("no machine was given", depth.Sentence, StringComparison.Ordinal);
    }

    // Five to seven widths (British Columbia, drainage handbook): a tip of 6 cm surely loosens to 30 cm and not below 42.
    [Theory]
    [InlineData("pan_depth_cm=15, pan_bottom_cm=24", "rip", 0.265, 0.29)]
    [InlineData("pan_depth_cm=15, pan_bottom_cm=26", "rip", 0.285, 0.30)]
    [InlineData("", "test-strip-first", 0.345, 0.37)]
    [InlineData("pan_bottom_cm=38", "test-strip-first", 0.405, 0.42)]
    [InlineData("pan_bottom_cm=40", "do-not-rip", 0, 0)]
    public void Depth_IsHeldToWhatTheTipLoosens(string differs, string verdict, double least, double most)
    {
        Machine machine = new() { Tractor = new Tractor { Power = 150 }, Implement = new Implement { Shanks = 1, ShankSpacing = 1, TipWidth = 0.06, Tip = TipKind.Narrow, Depth = 0.4 } };
        SiteVerdict found = RipDecision.Of(Site.Facts(Merge(differs)), null, machine);
        Assert.True(verdict == found.Word, string.Join(" | ", found.Reasons.Select(r => r.Sentence)));
        Assert.Equal(least, found.Depth?.Least ?? 0, 1e-12);
        Assert.Equal(most, found.Depth?.Most ?? 0, 1e-12);
        Assert.Equal("rip", RipDecision.Of(Site.Facts(Merge(differs)), null, machine with { Implement = machine.Implement with { Tip = TipKind.Winged } }).Word);
    }

    [Fact]
    public void Depth_IsHeldToWhatTheTractorPulls()
    {
        Machine small = new() { Tractor = new Tractor { Power = 12 }, Implement = new Implement { Shanks = 3, ShankSpacing = 0.7, TipWidth = 0.1, Tip = TipKind.Winged, Depth = 0.4 } };
        SiteVerdict found = RipDecision.Of(Site.Facts(Good), null, small);
        Assert.Equal(("do-not-rip", "depth"), (found.Word, found.Reasons[0].Rule));
        Assert.Contains("This tractor pulls its shanks to", found.Reasons[0].Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void EveryBound_CanBeMovedAndIsPrinted()
    {
        string Verdict(string differs, RipRules rules) => RipDecision.Of(Site.Facts(Merge(differs)), rules).Word;
        Assert.Equal("do-not-rip", Verdict("", new RipRules { LeastSoil = 2 }));
        Assert.Equal("do-not-rip", Verdict("", new RipRules { AboveRock = 1.2 }));
        Assert.Equal("test-strip-first", Verdict("strength_kpa=2600", new RipRules { StopStrength = 2.7e6 }));
        Assert.Equal("do-not-rip", Verdict("strength_kpa=2600", new RipRules { StopStrength = 2.7e6, SlowStrength = 2.65e6 }));
        Assert.Equal("test-strip-first", Verdict("", new RipRules { CarefulSodium = 1 }));
        Assert.Equal("rip-after", Verdict("", new RipRules { CarefulSodium = 1, MostSodium = 1.5 }));
        Assert.Equal("do-not-rip", Verdict("", new RipRules { DispersiveClass = 6 }));
        Assert.Equal("test-strip-first", Verdict("esp_pct=, emerson_class=", new RipRules { ClayToTest = 0.2 }));
        Assert.Equal("test-strip-first", Verdict("", new RipRules { CarefulSalt = 0.4 }));
        Assert.Equal("rip", Verdict("texture=sand, strength_kpa=3000", new RipRules { FastIntake = 1 }));
        Assert.Equal("rip", Verdict("texture=sand, strength_kpa=3000", new RipRules { Purpose = RipPurpose.Roots }));
        Assert.Equal("do-not-rip", Verdict("texture=sand", new RipRules { Purpose = RipPurpose.Roots }));
        Assert.Equal("rip-after", Verdict("", new RipRules { LeastCover = 0.8 }));
        Assert.Equal("do-not-rip", Verdict("", new RipRules { MostSlope = 0.05, CarefulSlope = 0.01 }));
        Assert.Equal("rip-after", Verdict("drainage=poor", new RipRules { WettestClass = SoilDrainage.Poor }));
        Assert.Equal(0.42, RipDecision.Of(Site.Facts(Good), new RipRules { LeastBelowPan = 0.1, MostBelowPan = 0.12 }).Depth!.Least, 1e-12);
        IReadOnlyList<RuleSetting> settings = new RipRules { MostSlope = 0.2 }.Settings();
        Assert.Equal(typeof(RipRules).GetProperties().Count(p => p.CanWrite), settings.Count);
        Assert.Contains(settings, s => s is { Name: "most_slope_pct", Value: "20 %" });
        Assert.All(settings, s => Assert.True(s.Source.Length > 8 && s.What.Length > 8));
        Assert.Throws<ArgumentException>(() => RipDecision.Of(new SiteFacts(), new RipRules { LeastCover = 0.1 }));
        Assert.Throws<ArgumentException>(() => RipDecision.Of(new SiteFacts(), new RipRules { MostSlope = double.NaN }));
    }

    // Later words take the place of earlier ones; an empty one takes a fact away.
    private static string Merge(string differs)
    {
        Dictionary<string, string> facts = [];
        foreach (string[] p in $"{Good},{differs}".Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(p => p.Split('=')))
        {
            facts[p[0]] = p[1];
        }

        return string.Join(", ", facts.Where(f => f.Value.Length > 0).Select(f => $"{f.Key}={f.Value}"));
    }
}
