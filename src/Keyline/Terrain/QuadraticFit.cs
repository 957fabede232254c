namespace Keyline.Terrain;

/// <summary>First and second derivatives of a quadratic surface at its middle: p east, q north, r east-east, s east-north,
/// t north-north; metres.</summary>
internal readonly record struct QuadraticFit(double P, double Q, double R, double S, double T)
{
    // NaN on level ground, where no direction is across or along the slope.
    private double Slope2 => (P * P) + (Q * Q) is > 0 and double slope ? slope : double.NaN;

    private double Tilt2 => 1 + (P * P) + (Q * Q);

    private double Across => -((Q * Q * R) - (2 * P * Q * S) + (P * P * T));

    private double Mean => -(((1 + (Q * Q)) * R) - (2 * P * Q * S) + ((1 + (P * P)) * T)) / (2 * Tilt2 * Math.Sqrt(Tilt2));

    // Half the difference of the greatest and the least bend; rounding must not make it less than nothing.
    private double Spread => Math.Sqrt(Math.Max((Mean * Mean) - (((R * T) - (S * S)) / (Tilt2 * Tilt2)), 0));

    public double Of(CurvatureKind kind) => kind switch
    {
        CurvatureKind.Profile => -((P * P * R) + (2 * P * Q * S) + (Q * Q * T)) / (Slope2 * Tilt2 * Math.Sqrt(Tilt2)),
        CurvatureKind.Plan => Across / (Slope2 * Math.Sqrt(Tilt2)),
        CurvatureKind.Contour => Across / (Slope2 * Math.Sqrt(Slope2)),
        CurvatureKind.Mean => Mean,
        CurvatureKind.Minimum => Mean - Spread,
        _ => Mean + Spread,
    };
}
